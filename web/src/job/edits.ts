// Edits on their way: what is being tried, what is to be saved and has no answer yet. Pure; the socket that
// carries them is link/live.ts. Nothing leaves the queue before the server has answered for it.
import type { Edit } from "../contract/types";

export type Sent = { id: number; base: number; edits: Edit[] };

export type Queue = {
  next: number; // id of the next message
  trying: Edit[]; // typed, not yet meant
  unsaved: Sent[]; // meant, in order, not yet answered
  seen: number; // highest reply taken in
};

export const emptyQueue: Queue = { next: 1, trying: [], unsaved: [], seen: 0 };

/** The later edit of a key takes the place of the earlier one. */
export function joined(edits: Edit[], more: Edit[]): Edit[] {
  const changed = new Set(more.map((e) => e.key));
  return [...edits.filter((e) => !changed.has(e.key)), ...more];
}

/** Typed: tried together with what is not saved yet, so that the drawing never jumps back. */
export function tried(q: Queue, edits: Edit[]): { queue: Queue; send: Edit[]; id: number } {
  const trying = joined(q.trying, edits);
  const send = joined(q.unsaved.flatMap((s) => s.edits), trying);
  return { queue: { ...q, next: q.next + 1, trying }, send, id: q.next };
}

/** Meant: leaves the trials and waits for the server's answer. */
export function meant(q: Queue, base: number, edits: Edit[]): { queue: Queue; send: Sent } {
  const send = { id: q.next, base, edits };
  const keys = new Set(edits.map((e) => e.key));
  const trying = q.trying.filter((e) => !keys.has(e.key));
  return { queue: { ...q, next: q.next + 1, trying, unsaved: [...q.unsaved, send] }, send };
}

/** Given up: Escape in a field. */
export function dropped(q: Queue, key: string): Queue {
  return { ...q, trying: q.trying.filter((e) => e.key !== key) };
}

/**
 * An answer came in. `fresh` is false for one that a later answer has overtaken: it settles its edit but is
 * not to be drawn. What was meant and got no answer is sent again after the line came back, never dropped.
 */
export function answered(q: Queue, reply: number | undefined): { queue: Queue; fresh: boolean } {
  if (reply === undefined) return { queue: q, fresh: true };
  const unsaved = q.unsaved.filter((s) => s.id !== reply);
  return { queue: { ...q, unsaved, seen: Math.max(q.seen, reply) }, fresh: reply >= q.seen };
}

/** Everything to send again on a new line: first what was meant, in order. */
export function again(q: Queue): Sent[] {
  return q.unsaved;
}
