// What the phone did, kept in order until the server has it. Pure.
import type { LogLine, Ticks } from "../contract/types";

/** A deed says itself whose step it is. `refused`: why the server did not take it; `overruled`: somebody else ticked it meanwhile. */
type Kept = { id: string; job: string; at: string; refused?: string; overruled?: boolean };
export type Deed =
  /** `title` of the step; `was`: when the tick that the phone saw there was made, "" for none. */
  | (Kept & { kind: "tick"; step: string; done: boolean; who: string; title?: string; was?: string })
  | (Kept & { kind: "log"; line: LogLine });
export type TickDeed = Extract<Deed, { kind: "tick" }>;

/** It is on its way; the others are only there to be said. */
export const waits = (d: Deed) => !d.refused && !d.overruled;

/** Ticks as the phone shows them: the server's, with what has not reached it yet laid over. */
export function withDeeds(ticks: Ticks, deeds: Deed[], job: string): Ticks {
  const out: Ticks = { ...ticks };
  for (const d of deeds) {
    if (d.kind === "tick" && d.job === job && waits(d)) out[d.step] = { done: d.done, who: d.who, at: d.at };
  }
  return out;
}

/** Somebody else ticked it since the phone looked. The phone's clock may be wrong, so times are compared with themselves only. */
function overtaken(there: Ticks[string] | undefined, d: TickDeed): boolean {
  if (d.was === undefined) return !!there && Date.parse(there.at) > Date.parse(d.at); // of an older page
  return (there?.at ?? "") !== d.was;
}

/**
 * What becomes of a job's deeds once the server's ticks are known. Everything measured goes; of the ticks of one step only the
 * last, and not where it stands like that already. One that somebody else ticked otherwise meanwhile is `overruled`: it is
 * not sent, and the phone says so until it is answered.
 */
export function sorted(server: Ticks, deeds: Deed[], job: string): { send: Deed[]; moot: Deed[]; overruled: TickDeed[] } {
  const mine = deeds.filter((d) => d.job === job && waits(d));
  const last = new Map<string, Deed>(), first = new Map<string, TickDeed>();
  for (const d of mine) {
    if (d.kind !== "tick") continue;
    last.set(d.step, d);
    if (!first.has(d.step)) first.set(d.step, d);
  }
  const send: Deed[] = [], moot: Deed[] = [], overruled: TickDeed[] = [];
  for (const d of mine) {
    if (d.kind === "log") send.push(d);
    else if (last.get(d.step) !== d || (server[d.step]?.done ?? false) === d.done) moot.push(d);
    else if (overtaken(server[d.step], first.get(d.step)!)) overruled.push(d);
    else send.push(d);
  }
  return { send, moot, overruled };
}

/** Those made while others were on their way were seen on top of them. */
export function rebased(deeds: Deed[], sent: Deed[], now: Ticks): Deed[] {
  const steps = new Set(sent.flatMap((d) => (d.kind === "tick" ? [`${d.job} ${d.step}`] : [])));
  return deeds.map((d) => (d.kind === "tick" && steps.has(`${d.job} ${d.step}`) ? { ...d, was: now[d.step]?.at ?? "" } : d));
}

/** The deeds that are not among these. */
export function without(deeds: Deed[], ids: Set<string>): Deed[] {
  return deeds.filter((d) => !ids.has(d.id));
}

/** Deeds as they lie in the phone's store; anything else there is no deed. */
export function readDeeds(text: string | null): Deed[] {
  if (!text) return [];
  try {
    const all: unknown = JSON.parse(text);
    return Array.isArray(all) ? (all as Deed[]).filter((d) => d && (d.kind === "tick" || d.kind === "log") && d.id && typeof d.job === "string") : [];
  } catch {
    return [];
  }
}

/** "done: Saw off the steerer" */
export function saidOf(d: Deed): string {
  if (d.kind === "log") return `measured: ${d.line.what} ${d.line.typed ?? ""}`.trim();
  return `${d.done ? "done" : "taken back"}: ${d.title ?? d.step}`;
}

/** Unguessable enough to tell deeds apart; works without a secure context. */
export function deedId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(8));
  return Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
}
