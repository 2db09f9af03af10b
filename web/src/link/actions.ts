// Everything that can be done on the page. Components call these; the keyboard and the command search too.
// What is entered, undone and kept: link/saving.ts.
import { decodeFrame, isAhead, isForeseen, type Leaf, type LeavesAhead, type View } from "../contract/frame";
import type { Edit, Step } from "../contract/types";
import { answered, dropped, emptyQueue, tried } from "../job/edits";
import { foreseen, type Foresight } from "../job/foresight";
import { latest } from "../job/latest";
import { tagOf } from "../job/tags";
import { found } from "./keep";
import { message, nextId, open, say, shows } from "./message";
import * as rest from "./rest";
import { begun, deliverElsewhere, keepWaiting, left, pump, putAway, sendAgain, settle, takeUp } from "./saving";
import { openLine } from "./socket";
import { get, set, type Looking, type Over, type Page, type Panel, type Stage } from "./store";

export { say } from "./message";
export { backTo, redo, saveEdits, undo } from "./saving";

const kFlash = 500; // ms that the place before a jump stays in sight
let ahead: LeavesAhead[] = []; // pages that came before their view, in the order of their keys
let foresight: Foresight | null = null;
const opening = latest(), ticking = latest();

/** Is it still the fork on the table? Asked after every wait: what comes back late belongs to the one it was asked for. */
export function stillOpen(id: string | undefined): boolean {
  return get().job?.id === id;
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
  const { queue, fresh, entry } = answered(before.queue, view);
  set({ queue });
  if (fresh) show(view, before, later);
  if (entry) settle(entry, view);
  if (entry) pump();
}

/** in  later  pages of a key typed since */
function show(view: View, before: Page, later: Leaf[] | undefined): void {
  const drawn = view.solved ? { ...view, leaves: later ?? view.leaves } : before.drawn;
  if (view.solved && before.view?.solved && jumped(before.view, view)) {
    const flash = before.view;
    set({ flash });
    window.setTimeout(() => get().flash === flash && set({ flash: null }), kFlash);
  }
  set({ view, drawn });
  if (!drawn) void lastDrawable();
  if (view.revision !== before.job?.revision || (view.saved && before.cards.length === 0)) void afterChange(view.revision);
}

const kLookBack = 8; // revisions

/** The book was opened at a fork that can't be: the newest revision that can is drawn, faintly. */
async function lastDrawable(): Promise<void> {
  const { job, looking, at } = get();
  if (!job || looking === "solid") return;
  const all = (await rest.revisions(job.id)).sort((a, b) => b.revision - a.revision).slice(1, 1 + kLookBack);
  for (const r of all) {
    if (!stillOpen(job.id) || get().drawn) return;
    const view = await rest.view(job.id, shows(), at, r.revision, true);
    if (!stillOpen(job.id) || get().drawn) return;
    if (view.solved) return set({ drawn: view });
  }
}

let asksFor = ""; // job and revision; asked for once, however many frames tell of it

/** The job moved on: its name, its steps, what can be undone. */
async function afterChange(revision: number): Promise<void> {
  const id = get().job?.id;
  const question = `${id} ${revision} ${get().view?.solved}`;
  if (!id || question === asksFor) return;
  asksFor = question;
  try {
    const [job, cards] = await Promise.all([rest.oneJob(id), get().view?.solved ? rest.cards(id).catch(() => []) : []]);
    if (stillOpen(id) && question === asksFor) set({ job, cards });
  } finally {
    if (asksFor === question) asksFor = "";
  }
}

async function refreshTicks(): Promise<void> {
  const id = get().job?.id;
  if (!id) return;
  const stillWanted = ticking();
  const ticks = await rest.ticks(id);
  if (stillOpen(id) && stillWanted()) set({ ticks });
}

const kAgain = 1500; // ms until a server that did not answer is asked again

/** Asks until a server is there to answer; what waits for it is shown meanwhile. */
async function untilThere<T>(ask: () => Promise<T>): Promise<T> {
  for (let told = false; ; told = true) {
    try {
      const answer = await ask();
      set({ away: false });
      return answer;
    } catch (e) {
      if (e instanceof rest.Refused) throw e;
    }
    if (!told) set({ away: true, elsewhere: await found() });
    await new Promise((done) => window.setTimeout(done, kAgain));
  }
}

export async function start(): Promise<void> {
  keepWaiting();
  const [schema, jobs] = await untilThere(() => Promise.all([rest.schema(), rest.jobs()]));
  set({ schema, jobs });
  const last = localStorage.getItem("halfround.job");
  const found = jobs.find((j) => j.id === last) ?? jobs[0];
  if (found) await openJob(found.id);
  else set({ panel: "jobs" });
}

/** Puts a fork on the table. Of several that were asked for quickly only the last is opened. */
export async function openJob(id: string): Promise<void> {
  const stillWanted = opening();
  const before = get().job?.id;
  const [job] = await Promise.all([rest.oneJob(id), before && putAway()]);
  if (!stillWanted()) return;
  open.line?.close();
  open.line = null;
  if (before) left(before);
  ahead = [];
  foresight = null;
  asksFor = "";
  set({
    job, online: false, queue: emptyQueue, refused: {}, restored: [], notice: "", ghost: null, ghostOf: null, flash: null,
    view: null, drawn: null, ticks: {}, cards: [], pointed: null,
  });
  localStorage.setItem("halfround.job", id);
  await takeUp();
  if (!stillWanted()) return;
  open.line = openLine(id, {
    frame: takeIn,
    event: (e) => {
      if (e.event === "changed") redraw();
      if (e.event === "step") void refreshTicks();
    },
    up: () => {
      foresight = null; // its answers went with the old line
      set({ online: true });
      sendAgain();
      redraw();
      void refreshTicks();
      void takeUp().then(() => stillOpen(id) && pump());
      void deliverElsewhere();
    },
    down: () => set({ online: false }),
  });
}

/** Asks for the drawing again, with what is being tried. */
export function redraw(): void {
  const { queue, job } = get();
  if (queue.trying.length > 0) tryEdits([]);
  else open.line?.send(message("show", nextId(), { base: job?.revision ?? 0 }));
}

export function tryEdits(edits: Edit[]): void {
  const step = tried(get().queue, edits, begun);
  const base = get().view?.revision ?? 0;
  const leaves = foreseen(foresight, step.send, base, lookNow());
  const more = { base, edits: step.send };
  if (!leaves) open.line?.send(message("try", step.id, more)); // before the page draws itself anew
  set({ queue: step.queue });
  if (!leaves) return;
  goAhead({ reply: step.id, leaves });
  open.line?.sendAfterPaint(message("try", step.id, { ...more, foreseen: base }));
}

/** Has drawn what may stand in a field after the next key. What lies over the drawing can't be foreseen. */
export function foresee(key: string, typed: string[]): void {
  const { queue, over, view } = get();
  if (!view || over.length > 0 || typed.length === 0) return;
  const edits = tried(queue, [{ key, typed: typed[0]! }], begun).send.slice(0, -1);
  const look = lookNow();
  const question = JSON.stringify([view.revision, look, edits, key, typed]);
  if (question === foresight?.question) return;
  foresight = { id: nextId(), question, key, edits, look, drawn: new Map() };
  open.line?.sendAfterPaint(message("foresee", foresight.id, { key, typed, edits }));
}

/** Escape: the field takes back what stood there. */
export function forget(key: string): void {
  const refused = { ...get().refused };
  delete refused[key];
  set({ queue: dropped(get().queue, key), refused });
  redraw();
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
  if (stillOpen(job.id) && get().ghostOf === revision && get().looking === looking) set({ ghost });
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

/** The step says itself whose it is: the fork on the table may be another by now. */
export async function tickStep(step: Step, done: boolean): Promise<void> {
  const at = new Date().toISOString();
  if (stillOpen(step.job)) set({ ticks: { ...get().ticks, [step.id]: { done, who: "at the bench", at } } });
  await rest.tick(step.job, step.id, done, "at the bench").catch(() => {
    if (stillOpen(step.job)) say("Not ticked: the server can't be reached.");
    return refreshTicks();
  });
}

export async function refreshJobs(): Promise<void> {
  set({ jobs: await rest.jobs() });
}
