// The browser's own store for what has not reached the server yet (IndexedDB). A record belongs to a window; when the window
// is gone, the next one takes it up. Which windows live is told by locks, where the browser has them (docs/page.md).
import { readKept, type Kept } from "../job/kept";
import { storeTable } from "./database";

const kWindow = "halfround.window";
const waiting = storeTable("halfround", "waiting");

const fresh = () => Array.from(crypto.getRandomValues(new Uint8Array(8)), (b) => b.toString(16).padStart(2, "0")).join("");
const lockOf = (window: string) => `halfround.window.${window}`;

/** Held until the window is gone; false: another one holds it, as after "duplicate tab". */
function held(window: string): Promise<boolean> {
  return new Promise((told) => {
    const hold = (lock: unknown) => {
      told(!!lock);
      return lock ? new Promise<void>(() => undefined) : undefined;
    };
    void navigator.locks.request(lockOf(window), { ifAvailable: true }, hold);
  });
}

async function claimed(): Promise<string> {
  let mine = sessionStorage.getItem(kWindow) ?? fresh();
  if (navigator.locks && !(await held(mine))) {
    mine = fresh();
    await held(mine);
  }
  sessionStorage.setItem(kWindow, mine);
  return mine;
}

let me: Promise<string> | null = null;
/** This window's name in the records. */
export function thisWindow(): Promise<string> {
  return (me ??= claimed());
}

const nameOf = (k: Pick<Kept, "job" | "window">) => `${k.window} ${k.job}`;

/** out  false: the browser would not take it */
export const put = (k: Kept) => waiting.put(k, nameOf(k));
export const remove = (k: Pick<Kept, "job" | "window">) => waiting.remove(nameOf(k));

async function living(): Promise<Set<string>> {
  if (!navigator.locks) return new Set();
  const { held } = await navigator.locks.query();
  return new Set((held ?? []).map((l) => l.name ?? ""));
}

/** Every record of this window and of those that are gone. */
export async function found(): Promise<Kept[]> {
  const [all, here, others] = await Promise.all([waiting.all(), thisWindow(), living()]);
  return all.map(readKept).filter((k): k is Kept => k !== null && (k.window === here || !others.has(lockOf(k.window))));
}
