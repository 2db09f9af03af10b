// The line to the open job, and what every message on it says about the look.
import type { Line } from "./socket";
import { get, partner, set } from "./store";

export const open: { line: Line | null } = { line: null };

/** Two views side by side need a wide glass. */
const wideGlass = () => window.matchMedia("(min-width: 1000px)").matches;

/** The views that are looked at together. */
export function shows(): string {
  const { looking } = get();
  const main = looking === "solid" ? "front" : looking;
  const other = wideGlass() ? partner(looking) : null;
  return other ? `${main},${other}` : main;
}

export function message(what: string, id: number, more: object = {}): object {
  return { do: what, id, show: shows(), at: get().at, over: get().over.join(","), ahead: true, ...more };
}

export function nextId(): number {
  const { queue } = get();
  set({ queue: { ...queue, next: queue.next + 1 } });
  return queue.next;
}

export function say(words: string): void {
  set({ said: words });
}
