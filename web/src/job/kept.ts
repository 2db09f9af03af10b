// What a window had not brought to the server yet, as the browser keeps it: one record for each job and window. Pure;
// link/keep.ts puts it away.
import type { Edit, Problem } from "../contract/types";
import { emptyQueue, joined, type Draft, type Entry, type Queue } from "./edits";

/** Entered, and not taken by the server. `base` is what the next try of it begins on; `there` stands in the job instead. */
export type Refused = { typed: string; problems: Problem[]; base: number; there: string | null; edits: Edit[] };
export type AllRefused = Record<string, Refused>;

export type Kept = {
  job: string;
  name: string; // of the job, so that it can be spoken of before it is open
  window: string;
  at: number; // ms since 1970
  trying: Draft[];
  unsaved: Entry[];
  refused: AllRefused;
};

type Held = { queue: Queue; refused: AllRefused };

/** Undo and its kin are not kept: nobody wants one to happen an hour later. */
export function keptOf(held: Held, of: Pick<Kept, "job" | "name" | "window" | "at">): Kept {
  const unsaved = held.queue.unsaved.filter((e) => e.do === "set").map((e) => ({ ...e, id: null }));
  return { ...of, trying: held.queue.trying, unsaved, refused: held.refused };
}

/** How many things would be lost with it. */
export function countOf(k: Pick<Kept, "trying" | "unsaved" | "refused">): number {
  return k.trying.length + k.unsaved.length + Object.keys(k.refused).length;
}

const isEdit = (e: unknown): e is Edit => {
  const { key, typed } = (e ?? {}) as Partial<Edit>;
  return typeof key === "string" && (typed === null || typeof typed === "string");
};
const isBased = (e: unknown) => isEdit(e) && typeof (e as Edit & { base?: unknown }).base === "number";

/** A record as it lies in the browser; null where it is none, and without what in it can't be read. */
export function readKept(found: unknown): Kept | null {
  const k = (found ?? {}) as Partial<Kept>;
  if (typeof k.job !== "string" || typeof k.window !== "string") return null;
  const list = (all: unknown): unknown[] => (Array.isArray(all) ? all : []);
  const trying = list(k.trying).filter(isBased) as Draft[];
  const unsaved = (list(k.unsaved) as Entry[]).filter((e) => e?.do === "set" && list(e.edits).length > 0 && e.edits.every(isBased));
  const refused = Object.entries(k.refused ?? {}).filter(([, r]) => typeof r?.typed === "string" && Array.isArray(r.problems) && list(r.edits).every(isEdit));
  return {
    job: k.job, name: k.name ?? "", window: k.window, at: k.at ?? 0, trying,
    unsaved: unsaved.map((e) => ({ ...e, id: null })), refused: Object.fromEntries(refused),
  };
}

/**
 * Taken up by a window that has the job open now: entries in the order in which they were kept, before its own.
 *   out  drafts  keys that were being typed, for the builder to enter or drop
 */
export function takenUp(held: Held, found: Kept[]): Held & { drafts: string[] } {
  const all = [...found].sort((a, b) => a.at - b.at);
  const there = new Set(held.queue.trying.map((d) => d.key));
  const trying = all.reduce<Draft[]>((sum, k) => joined(sum, k.trying), []).filter((d) => !there.has(d.key));
  return {
    queue: {
      ...held.queue,
      trying: [...trying, ...held.queue.trying],
      unsaved: [...all.flatMap((k) => k.unsaved), ...held.queue.unsaved],
    },
    refused: Object.assign({}, ...all.map((k) => k.refused), held.refused) as AllRefused,
    drafts: trying.map((d) => d.key),
  };
}

/** As a queue by itself, to bring to the server while another job is open. */
export function queueOf(k: Kept): Queue {
  return { ...emptyQueue, trying: k.trying, unsaved: k.unsaved };
}
