// What is entered goes to the server one after the other, and is kept in the browser until the server has it.
import type { View } from "../contract/frame";
import type { Edit } from "../contract/types";
import { again, answered, asked, meant, next, takenBack, waitingEdits, type Deed, type Entry, type Queue } from "../job/edits";
import { countOf, keptOf, queueOf, takenUp, type AllRefused, type Kept } from "../job/kept";
import * as keep from "./keep";
import { message, open, say } from "./message";
import * as rest from "./rest";
import { get, set, standing, usePage } from "./store";

/** Sends what is next in turn, unless something is on its way. */
export function pump(): void {
  const step = next(get().queue);
  if (!step) return;
  const { id, ...more } = step.send;
  if (open.line?.send(message(more.do, id, more))) set({ queue: step.queue });
}

/** The line is up again: what had no answer goes again, first of all. */
export function sendAgain(): void {
  set({ queue: again(get().queue) });
  pump();
}

/** in  base  the revision that was looked at, where that is not the one on the screen */
export function saveEdits(edits: Edit[], base = get().view?.revision ?? 0): void {
  const refused = { ...get().refused };
  for (const e of edits) delete refused[e.key];
  set({ queue: meant(get().queue, base, edits), refused });
  pump();
}

function ask(deed: Exclude<Deed, { do: "set" }>): void {
  set({ queue: asked(get().queue, deed), notice: "" });
  pump();
}
const onScreen = () => get().view?.revision ?? 0;

/** Without a line, what was entered last and never went is taken back. */
export function undo(): void {
  const { job, online, queue } = get();
  if (!online) return set({ queue: takenBack(queue) });
  if (job?.can_undo || waitingEdits(queue).length > 0) ask({ do: "undo", base: onScreen() });
}
export function redo(): void {
  if (get().job?.can_redo && get().online) ask({ do: "redo", base: onScreen() });
}
/** The job as it stood at a revision becomes its newest one. */
export function backTo(revision: number): void {
  ask({ do: "back", revision, base: onScreen() });
}

/** How a draft of a key begins: what is seen at its field, and at which revision. */
export function begun(key: string): { base: number; was: string | null } {
  const p = get();
  return { base: p.refused[key]?.base ?? p.view?.revision ?? 0, was: standing(p, key) };
}

/** What the server did not take, key by key; one that is typed anew already gets an answer of its own. */
function refusedBy(entry: Entry, view: Pick<View, "revision" | "problems" | "fields">, q: Queue, before: AllRefused): AllRefused {
  if (entry.do !== "set") return before;
  const anew = new Set(waitingEdits(q).map((e) => e.key));
  const conflicts = view.problems.filter((p) => p.code === "edit-conflict");
  const out = { ...before };
  for (const e of entry.edits) {
    if (anew.has(e.key)) continue;
    out[e.key] = {
      typed: e.typed ?? "", problems: conflicts.length ? conflicts : view.problems, there: view.fields[e.key]?.typed ?? null,
      base: conflicts.length ? view.revision : e.base, edits: entry.edits.map(({ key, typed }) => ({ key, typed })),
    };
  }
  return out;
}

/** The answer to an entry: saved, or why not; then the next goes. */
export function settle(entry: Entry, view: View): void {
  const why = view.problems[0]?.what ?? "";
  if (entry.do === "set") {
    const refused = view.saved ? { ...get().refused } : refusedBy(entry, view, get().queue, get().refused);
    if (view.saved) for (const e of entry.edits) delete refused[e.key];
    set({ refused });
  } else if (!view.saved) {
    set({ notice: `${entry.do === "back" ? "Going back" : entry.do} did nothing: ${why} ${view.problems[0]?.fits ?? ""}` });
  }
  say(view.saved ? (view.solved ? "Saved." : `Saved, but there is no such fork: ${why}`) : `Not saved: ${why}`);
}

// ---- kept in the browser ----

const kRest = 150; // ms without a key until a draft is put away; what is entered is put away at once
let timer = 0;

/** A fork that was never opened in this browser has nothing to keep. */
async function keepNow(): Promise<void> {
  window.clearTimeout(timer);
  const { job, queue, refused } = get();
  if (!job) return;
  const held = keptOf({ queue, refused }, { job: job.id, name: job.name, window: await keep.thisWindow(), at: Date.now() });
  if (countOf(held) > 0) await keep.put(held);
  else await keep.remove(held);
}

function keepSoon(): void {
  window.clearTimeout(timer);
  timer = window.setTimeout(() => void keepNow(), kRest);
}

/** Puts away what the open job has, before another takes its place. */
export const putAway = keepNow;

const taken = new Set<string>(); // jobs whose own record is in the queue, not only in the browser

/** What this window and those that are gone left of the open job comes into its queue. */
export async function takeUp(): Promise<void> {
  const id = get().job?.id;
  const mine = await keep.thisWindow();
  const all = await keep.found();
  if (!id || get().job?.id !== id) return;
  const here = all.filter((k) => k.job === id && !(k.window === mine && taken.has(id)));
  taken.add(id);
  if (here.length === 0) return;
  const { queue, refused, drafts } = takenUp(get(), here);
  set({ queue, refused, restored: [...get().restored, ...drafts] });
  await keepNow();
  await Promise.all(here.filter((k) => k.window !== mine).map(keep.remove));
}

/** The job is left: its record lies in the browser alone. */
export function left(job: string): void {
  taken.delete(job);
}

let delivering = false;
/** Brings to the server what waits for jobs that are not open, and shows what is left of it. */
export async function deliverElsewhere(): Promise<void> {
  if (delivering) return;
  delivering = true;
  const still: Kept[] = [];
  for (const k of await keep.found()) {
    const left = k.job === get().job?.id ? null : await delivered(k);
    if (left && left.job !== get().job?.id) still.push(left);
  }
  set({ elsewhere: still });
  delivering = false;
}

/** out  what the server did not take, or could not be brought to it; null: nothing */
async function delivered(kept: Kept): Promise<Kept | null> {
  let now = kept, q = queueOf(kept);
  for (let step = next(q); step && get().job?.id !== kept.job; step = next(q)) {
    q = step.queue;
    const { id, base, edits } = step.send, entry = q.unsaved[0]!;
    let { refused } = now;
    try {
      q = answered(q, { reply: id, saved: true, made: (await rest.edit(kept.job, base, edits ?? [])).revision }).queue;
    } catch (e) {
      if (!(e instanceof rest.Refused)) return now; // no line: another time
      q = answered(q, { reply: id, saved: false }).queue;
      refused = refusedBy(entry, { revision: e.revision, problems: e.problems, fields: {} }, q, refused);
    }
    now = { ...kept, trying: q.trying, unsaved: q.unsaved, refused };
    await (countOf(now) > 0 ? keep.put(now) : keep.remove(now));
  }
  return countOf(now) > 0 ? now : null;
}

const unsettled = () => {
  const { queue, refused } = get();
  return countOf({ trying: queue.trying, unsaved: queue.unsaved, refused }) > 0;
};

/** Begins to keep, and to warn who leaves with something that is not saved. */
export function keepWaiting(): void {
  usePage.subscribe((p, before) => {
    if (p.job?.id !== before.job?.id) return;
    if (p.queue.unsaved !== before.queue.unsaved || p.refused !== before.refused) void keepNow();
    else if (p.queue.trying !== before.queue.trying) keepSoon();
    const still = p.restored.filter((key) => p.queue.trying.some((d) => d.key === key));
    if (still.length < p.restored.length) set({ restored: still });
  });
  window.addEventListener("beforeunload", (e) => unsettled() && e.preventDefault());
  window.addEventListener("pagehide", () => void keepNow());
}

/** What waits for a job that is not there any more. */
export async function drop(kept: Kept): Promise<void> {
  await keep.remove(kept);
  set({ elsewhere: get().elsewhere.filter((k) => k !== kept) });
}
