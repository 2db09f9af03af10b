// Edits on their way: drafts that are still being typed, and entries that wait for the server's answer, one after the
// other. Pure; link/saving.ts carries them. Nothing leaves the queue before the server has answered for it.
//
// Every edit has a base, the revision on which its typing began: what another window changed since is asked about. What
// this page itself changed since is no such thing, so its own answers move the base of what follows (`answered`).
import type { Edit } from "../contract/types";

/** Typed, not entered. `was` stood in the field before the first key; null: nothing, or an assumed value. */
export type Draft = Edit & { base: number; was: string | null };
/** An edit and the revision on which its typing began. */
export type Based = Edit & { base: number };

export type Deed = { do: "set"; edits: Based[] } | { do: "undo" | "redo"; base: number } | { do: "back"; revision: number; base: number };
/** `id` of the message that carries it, null while it waits; `went` once it was sent, for then it may have arrived. */
export type Entry = Deed & { id: number | null; went: boolean };
/** What goes over the line. */
export type Sent = { do: Deed["do"]; id: number; base: number; edits?: Edit[]; revision?: number };

export type Queue = {
  next: number; // id of the next message
  trying: Draft[];
  unsaved: Entry[]; // in order, not yet answered; the first alone is on its way
  seen: number; // highest reply taken in
};

export const emptyQueue: Queue = { next: 1, trying: [], unsaved: [], seen: 0 };

/** The later edit of a key takes the place of the earlier one. */
export function joined<T extends Edit>(edits: T[], more: T[]): T[] {
  const changed = new Set(more.map((e) => e.key));
  return [...edits.filter((e) => !changed.has(e.key)), ...more];
}

/** A list and a cell of it are one place: "blades.stations", "blades.stations[2].width". */
export function samePlace(a: string, b: string): boolean {
  const [up, low] = a.length < b.length ? [a, b] : [b, a];
  return low.startsWith(up) && (low.length === up.length || low[up.length] === "." || low[up.length] === "[");
}

const bare = ({ key, typed }: Edit): Edit => ({ key, typed });
const blank = (typed: string | null) => typed !== null && typed.trim() === "";

/** Every edit that has not been answered yet, in order. */
export function waitingEdits(q: Queue): Based[] {
  return q.unsaved.flatMap((e) => (e.do === "set" ? e.edits : []));
}

/**
 * Typed: tried together with what is not saved yet, so that the drawing never jumps back. An empty field tries nothing.
 *   in  begun  what a draft begins with; one that is there keeps its own
 */
export function tried(q: Queue, edits: Edit[], begun: (key: string) => { base: number; was: string | null }): { queue: Queue; send: Edit[]; id: number } {
  const drafts = edits.map((e) => ({ ...(q.trying.find((d) => d.key === e.key) ?? begun(e.key)), ...bare(e) }));
  const trying = joined(q.trying, drafts);
  const send = joined<Edit>(waitingEdits(q), trying.filter((d) => !blank(d.typed))).map(bare);
  return { queue: { ...q, next: q.next + 1, trying }, send, id: q.next };
}

/** The keys are the same ones, so the later takes the place of the earlier. */
function replaces(later: Based[], earlier: Based[]): boolean {
  return later.length === earlier.length && later.every((e) => earlier.some((o) => o.key === e.key));
}

/**
 * Entered: leaves the drafts and waits its turn. One of the same keys that waits and never went is replaced and leaves its base.
 *   in  base  the revision on which it was chosen; a draft's own counts more
 */
export function meant(q: Queue, base: number, edits: Edit[]): Queue {
  const based: Based[] = edits.map((e) => ({ ...bare(e), base: q.trying.find((d) => d.key === e.key)?.base ?? base }));
  const keys = new Set(edits.map((e) => e.key));
  const trying = q.trying.filter((e) => !keys.has(e.key));
  const last = q.unsaved.map((e) => e.do !== "set").lastIndexOf(true); // nothing moves over an undo
  const at = q.unsaved.findIndex((e, i) => i > last && e.do === "set" && !e.went && e.id === null && replaces(based, e.edits));
  const unsaved = q.unsaved.map((e, i) => {
    if (i !== at || e.do !== "set") return e;
    return { ...e, edits: based.map((b) => ({ ...b, base: e.edits.find((o) => o.key === b.key)?.base ?? b.base })) };
  });
  if (at < 0) unsaved.push({ do: "set", edits: based, id: null, went: false });
  return { ...q, trying, unsaved };
}

/** Undo and its kin wait their turn too. */
export function asked(q: Queue, deed: Exclude<Deed, { do: "set" }>): Queue {
  return { ...q, unsaved: [...q.unsaved, { ...deed, id: null, went: false }] };
}

function message(e: Entry, id: number): Sent {
  if (e.do === "set") return { do: "set", id, base: Math.min(...e.edits.map((x) => x.base)), edits: e.edits.map(bare) };
  return e.do === "back" ? { do: e.do, id, base: e.base, revision: e.revision } : { do: e.do, id, base: e.base };
}

/** The next to go, null while one is on its way. */
export function next(q: Queue): { queue: Queue; send: Sent } | null {
  const [first, ...rest] = q.unsaved;
  if (!first || first.id !== null) return null;
  const going = { ...first, id: q.next, went: true };
  return { queue: { ...q, next: q.next + 1, unsaved: [going, ...rest] }, send: message(first, q.next) };
}

/** The line broke: what was on its way goes again, as it was. The server takes the same edit twice for one. */
export function again(q: Queue): Queue {
  return { ...q, unsaved: q.unsaved.map((e) => ({ ...e, id: null })) };
}

/** Given up: Escape in a field. */
export function dropped(q: Queue, key: string): Queue {
  return { ...q, trying: q.trying.filter((e) => e.key !== key) };
}

/** Given up before it ever went: what undo takes back while there is no line. */
export function takenBack(q: Queue): Queue {
  const last = q.unsaved.at(-1);
  return last && !last.went ? { ...q, unsaved: q.unsaved.slice(0, -1) } : q;
}

/**
 * The base of what follows this page's own revision `made`. The server has seen to it that nobody else changed the entry's keys
 * between the entry's base and `made`; what began before the base knows nothing of that and stays as it is.
 */
function after<T extends Based>(done: Entry, made: number, later: T): T {
  const touches = (e: Based) => samePlace(e.key, later.key) && later.base >= e.base;
  const follows = done.do === "set" ? done.edits.some(touches) : later.base >= done.base;
  return follows && made > later.base ? { ...later, base: made } : later;
}

/** The base of an edit after what this page itself made meanwhile, in its order. */
export function afterOwn(own: { edits: Based[]; made: number }[], edit: Based): number {
  return own.reduce((e, o) => after({ do: "set", edits: o.edits, id: null, went: true }, o.made, e), edit).base;
}

export type Answer = { reply?: number | undefined; saved: boolean; made?: number | undefined };

/**
 * An answer came in. `fresh` is false for one that a later answer has overtaken: it settles its entry but is not to be drawn.
 *   in   made  the revision that the entry became, where it was saved
 *   out  entry  what it answers, or nothing
 */
export function answered(q: Queue, { reply, saved, made }: Answer): { queue: Queue; fresh: boolean; entry: Entry | undefined } {
  if (reply === undefined) return { queue: q, fresh: true, entry: undefined };
  const entry = q.unsaved.find((e) => e.id === reply);
  const rest = q.unsaved.filter((e) => e !== entry);
  const moved = <T extends Based>(e: T): T => (entry && saved && made ? after(entry, made, e) : e);
  const unsaved = rest.map((e): Entry => {
    if (e.do === "set") return { ...e, edits: e.edits.map(moved) };
    return entry && saved && made ? { ...e, base: Math.max(e.base, made) } : e;
  });
  const trying = q.trying.map(moved);
  return { queue: { ...q, trying, unsaved, seen: Math.max(q.seen, reply) }, fresh: reply >= q.seen, entry };
}
