// What the phone did while the line was down, kept in order and merged when it is back. Pure.
import type { LogLine, Ticks } from "../contract/types";

export type Deed =
  | { kind: "tick"; id: string; job: string; step: string; done: boolean; who: string; at: string }
  | { kind: "log"; id: string; job: string; line: LogLine; at: string };

/** Ticks as the phone shows them: the server's, with what has not reached it yet laid over. */
export function withDeeds(ticks: Ticks, deeds: Deed[], job: string): Ticks {
  const out: Ticks = { ...ticks };
  for (const d of deeds) {
    if (d.kind === "tick" && d.job === job) out[d.step] = { done: d.done, who: d.who, at: d.at };
  }
  return out;
}

/**
 * What is still to be sent once the server's ticks are known. Everything measured goes; of the ticks of one
 * step only the last, and not where somebody ticked it later than this phone did, or as it already stands.
 */
export function toSend(server: Ticks, deeds: Deed[], job: string): Deed[] {
  const last = new Map<string, Deed>();
  for (const d of deeds) if (d.kind === "tick" && d.job === job) last.set(d.step, d);
  return deeds.filter((d) => {
    if (d.job !== job) return false;
    if (d.kind === "log") return true;
    const there = server[d.step];
    if (last.get(d.step) !== d) return false;
    return !there || (there.done !== d.done && Date.parse(there.at) <= Date.parse(d.at));
  });
}

/** The deeds of other jobs and those that came after. */
export function without(deeds: Deed[], ids: Set<string>): Deed[] {
  return deeds.filter((d) => !ids.has(d.id));
}

/** Deeds as they lie in the phone's store; anything else there is no deed. */
export function readDeeds(text: string | null): Deed[] {
  if (!text) return [];
  try {
    const all: unknown = JSON.parse(text);
    return Array.isArray(all) ? (all as Deed[]).filter((d) => d && (d.kind === "tick" || d.kind === "log") && d.id) : [];
  } catch {
    return [];
  }
}

/** Unguessable enough to tell deeds apart; works without a secure context. */
export function deedId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(8));
  return Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
}
