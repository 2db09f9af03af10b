// Everything that can be done on the page. Components call these; the keyboard and the command search too.
import { decodeFrame, isAhead, isForeseen, type LeavesAhead, type View } from "../contract/frame";
import type { Edit } from "../contract/types";
import { again, answered, dropped, emptyQueue, meant, tried, type Sent } from "../job/edits";
import { foreseen, type Foresight } from "../job/foresight";
import { tagOf } from "../job/tags";
import * as rest from "./rest";
import { openLine, type Line } from "./socket";
import { get, partner, set, type Looking, type Over, type Panel, type Stage } from "./store";

const kFlash = 500; // ms that the place before a jump stays in sight
let line: Line | null = null;
let ahead: LeavesAhead[] = []; // pages that came before their view, in the order of their keys
let foresight: Foresight | null = null;

/** Two views side by side need a wide glass. */
const wideGlass = () => window.matchMedia("(min-width: 1000px)").matches;

/** The views that are looked at together. */
function shows(): string {
  const { looking } = get();
  const main = looking === "solid" ? "front" : looking;
  const other = wideGlass() ? partner(looking) : null;
  return other ? `${main},${other}` : main;
}

function message(what: string, id: number, more: object = {}): object {
  return { do: what, id, show: shows(), at: get().at, over: get().over.join(","), ahead: true, ...more };
}

function nextId(): number {
  const { queue } = get();
  set({ queue: { ...queue, next: queue.next + 1 } });
  return queue.next;
}

export function say(words: string): void {
  set({ said: words });
}

/** The answer jumped: another solution, not the same one moved on. */
function jumped(before: View, after: View): boolean {
  const far = (name: string, by: number) => Math.abs((before.numbers[name] ?? 0) - (after.numbers[name] ?? 0)) > by;
  return before.leaves[0]?.page.name === after.leaves[0]?.page.name && (far("splay_left", 1.5) || far("lower_trim_left", 15));
}

/** What a drawing depends on beside the job. */
function lookNow(): string {
  return `${shows()} ${get().at}`;
}

/** The drawing changes at once; numbers and verdicts follow with the view. */
function goAhead(pages: LeavesAhead): void {
  ahead.push(pages);
  ahead.sort((a, b) => a.reply - b.reply);
  const { drawn, queue } = get();
  if (drawn && ahead.at(-1) === pages && pages.reply >= queue.seen) set({ drawn: { ...drawn, leaves: pages.leaves } });
}

function takeIn(bytes: ArrayBuffer): void {
  const view = decodeFrame(bytes, ahead);
  if (isForeseen(view)) {
    if (view.reply === foresight?.id) foresight.drawn.set(view.typed, view);
    return;
  }
  if (isAhead(view)) return goAhead(view);
  const { reply } = view;
  if (reply !== undefined) ahead = ahead.filter((a) => a.reply > reply);
  const later = ahead.at(-1)?.leaves; // of a key typed since: the drawing does not go back to this one
  const before = get();
  const sent = before.queue.unsaved.find((s) => s.id === view.reply);
  const { queue, fresh } = answered(before.queue, view.reply);
  set({ queue });
  if (sent) settle(sent, view);
  if (!fresh) return;
  const drawn = view.solved ? { ...view, leaves: later ?? view.leaves } : before.drawn;
  if (view.solved && before.view?.solved && jumped(before.view, view)) {
    const flash = before.view;
    set({ flash });
    window.setTimeout(() => get().flash === flash && set({ flash: null }), kFlash);
  }
  set({ view, drawn });
  if (!drawn) void lastDrawable();
  if (view.saved && (view.revision !== before.job?.revision || before.cards.length === 0)) void afterChange();
}

const kLookBack = 8; // revisions

/** The book was opened at a fork that can't be: the newest revision that can is drawn, faintly. */
async function lastDrawable(): Promise<void> {
  const { job, looking, at } = get();
  if (!job || looking === "solid") return;
  const all = (await rest.revisions(job.id)).sort((a, b) => b.revision - a.revision).slice(1, 1 + kLookBack);
  for (const r of all) {
    const view = await rest.view(job.id, shows(), at, r.revision, true);
    if (get().job?.id !== job.id || get().drawn) return;
    if (view.solved) return set({ drawn: view });
  }
}

/** A saved edit, or one that couldn't be read: then the field keeps what was typed. */
function settle(sent: Sent, view: View): void {
  const refused = { ...get().refused };
  for (const e of sent.edits) {
    if (view.saved) delete refused[e.key];
    else refused[e.key] = { typed: e.typed ?? "", problems: view.problems };
  }
  set({ refused });
  say(view.saved ? (view.solved ? "Saved." : `Saved, but there is no such fork: ${view.problems[0]?.what ?? ""}`) : `Not saved: ${view.problems[0]?.what ?? ""}`);
}

async function afterChange(): Promise<void> {
  const id = get().job?.id;
  if (!id) return;
  const [job, cards] = await Promise.all([rest.oneJob(id), get().view?.solved ? rest.cards(id).catch(() => []) : []]);
  if (get().job?.id === id) set({ job, cards });
}

async function refreshTicks(): Promise<void> {
  const id = get().job?.id;
  if (id) set({ ticks: await rest.ticks(id) });
}

export async function start(): Promise<void> {
  const [schema, jobs] = await Promise.all([rest.schema(), rest.jobs()]);
  set({ schema, jobs });
  const last = localStorage.getItem("halfround.job");
  const open = jobs.find((j) => j.id === last) ?? jobs[0];
  if (open) await openJob(open.id);
  else set({ panel: "jobs" });
}

export async function openJob(id: string): Promise<void> {
  line?.close();
  ahead = [];
  foresight = null;
  set({ queue: emptyQueue, refused: {}, ghost: null, ghostOf: null, view: null, drawn: null, ticks: {}, cards: [], pointed: null });
  const job = await rest.oneJob(id);
  localStorage.setItem("halfround.job", id);
  set({ job });
  line = openLine(id, {
    frame: takeIn,
    event: (e) => {
      if (e.event === "changed") redraw();
      if (e.event === "step") void refreshTicks();
    },
    up: () => {
      foresight = null; // its answers went with the old line
      set({ online: true });
      for (const s of again(get().queue)) line?.send(message("set", s.id, { base: s.base, edits: s.edits }));
      redraw();
      void refreshTicks();
    },
    down: () => set({ online: false }),
  });
}

/** Asks for the drawing again, with what is being tried. */
export function redraw(): void {
  const { queue, job } = get();
  if (queue.trying.length > 0) tryEdits([]);
  else line?.send(message("show", nextId(), { base: job?.revision ?? 0 }));
}

export function tryEdits(edits: Edit[]): void {
  const step = tried(get().queue, edits);
  const base = get().view?.revision ?? 0;
  const leaves = foreseen(foresight, step.send, base, lookNow());
  const more = { base, edits: step.send };
  if (!leaves) line?.send(message("try", step.id, more)); // before the page draws itself anew
  set({ queue: step.queue });
  if (!leaves) return;
  goAhead({ reply: step.id, leaves });
  line?.sendAfterPaint(message("try", step.id, { ...more, foreseen: base }));
}

/** Has drawn what may stand in a field after the next key. What lies over the drawing can't be foreseen. */
export function foresee(key: string, typed: string[]): void {
  const { queue, over, view } = get();
  if (!view || over.length > 0 || typed.length === 0) return;
  const edits = tried(queue, [{ key, typed: typed[0]! }]).send.slice(0, -1);
  const look = lookNow();
  const question = JSON.stringify([view.revision, look, edits, key, typed]);
  if (question === foresight?.question) return;
  foresight = { id: nextId(), question, key, edits, look, drawn: new Map() };
  line?.sendAfterPaint(message("foresee", foresight.id, { key, typed, edits }));
}

export function saveEdits(edits: Edit[]): void {
  const base = get().view?.revision ?? 0;
  const step = meant(get().queue, base, edits);
  set({ queue: step.queue });
  line?.send(message("set", step.send.id, { base, edits }));
}

/** Escape: the field takes back what stood there. */
export function forget(key: string): void {
  const refused = { ...get().refused };
  delete refused[key];
  set({ queue: dropped(get().queue, key), refused });
  redraw();
}

export function undo(): void {
  if (get().job?.can_undo) line?.send(message("undo", nextId()));
}
export function redo(): void {
  if (get().job?.can_redo) line?.send(message("redo", nextId()));
}

export function look(looking: Looking, at = get().at): void {
  set({ looking, at, pointed: null, ...(looking === get().looking ? {} : { flash: null, ghost: null }) });
  if (looking === "solid") return;
  redraw();
  const { ghostOf } = get();
  if (ghostOf !== null) void overlay(ghostOf);
}

const kShownAt: Record<Stage, Looking> = {
  measure: "front", "lay out": "template-left", cut: "template-left", set: "side", join: "solid", prove: "front",
};

/** Lays something over the drawing, or takes it away. */
export function lay(what: Over): void {
  const { over } = get();
  set({ over: over.includes(what) ? over.filter((o) => o !== what) : [...over, what] });
  redraw();
}

/** Walks to a stage of the work: the table shows what is needed there. */
export function walkTo(stage: Stage): void {
  const again = get().stage === stage;
  set({ stage, stepsOpen: again ? !get().stepsOpen : get().stepsOpen });
  if (!again) look(kShownAt[stage]);
}

export async function overlay(revision: number | null): Promise<void> {
  const { job, looking, at } = get();
  if (revision === null || !job || looking === "solid") return set({ ghost: null, ghostOf: revision });
  set({ ghostOf: revision });
  const ghost = await rest.view(job.id, shows(), at, revision, true);
  if (get().ghostOf === revision && get().looking === looking) set({ ghost });
}

export function openPanel(panel: Panel): void {
  set({ panel });
}

/** Mending takes the slip's place; an open tag would lie over it on a narrow glass. */
export function openMending(focus: string | null = null): void {
  set({ panel: "mending", tag: null, focus });
}

/** Opens the tag on which a key lies and puts the cursor into its field. */
export function goTo(key: string): void {
  if (/^(done|freedoms)\./.test(key)) return openMending(key);
  const tag = tagOf(key);
  if (tag) set({ tag: tag.id, focus: key.replace(/\[.*$/, ""), panel: null });
}

export async function tickStep(step: string, done: boolean): Promise<void> {
  const id = get().job?.id;
  if (!id) return;
  const at = new Date().toISOString();
  set({ ticks: { ...get().ticks, [step]: { done, who: "at the bench", at } } });
  await rest.tick(id, step, done, "at the bench").catch(refreshTicks);
}

export async function refreshJobs(): Promise<void> {
  set({ jobs: await rest.jobs() });
}
