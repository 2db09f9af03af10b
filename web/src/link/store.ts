// What the page knows at the moment. One store; components take what they need from it. Answers belong to a
// revision and are replaced, never mended. What is done with it: link/actions.ts.
import { create } from "zustand";
import { useShallow } from "zustand/react/shallow";
import type { View } from "../contract/frame";
import type { Fields, Job, JobLine, Row, Show, Step, Ticks, Verdict } from "../contract/types";
import { emptyQueue, waitingEdits, type Queue } from "../job/edits";
import type { AllRefused, Kept } from "../job/kept";

export type Stage = "measure" | "lay out" | "cut" | "set" | "join" | "prove";
export const kStages: Stage[] = ["measure", "lay out", "cut", "set", "join", "prove"];
export type Looking = Show | "solid";
export type Over = "stress" | "sweep";
export type Panel = "jobs" | "history" | "sheets" | "phone" | "find" | "card" | "log" | "library" | "mending" | "trace" | "help" | null;

export type Page = {
  schema: Row[];
  jobs: JobLine[];
  job: Job | null;
  online: boolean;
  away: boolean; // no server answered when the page was opened
  view: View | null; // newest answer
  drawn: View | null; // newest answer that has a drawing
  ghost: View | null; // an earlier revision under the drawing
  ghostOf: number | null;
  flash: View | null; // where it stood before it jumped
  queue: Queue;
  refused: AllRefused; // entered, and not taken by the server
  restored: string[]; // keys of drafts from before the page was opened
  elsewhere: Kept[]; // what waits for other jobs
  notice: string; // why the last undo did nothing
  looking: Looking;
  over: Over[]; // what lies over the drawing
  at: number; // of the section, mm from the blade's tip
  stage: Stage;
  stepsOpen: boolean;
  cards: Step[];
  ticks: Ticks;
  panel: Panel;
  small: "bench" | "slip" | null; // narrow screens: what lies over the table
  tag: string | null; // open on the bench
  focus: string | null; // key whose field is to take the cursor
  pointed: Verdict | null; // line of the slip whose place is shown
  said: string; // for the screen reader
};

export const usePage = create<Page>(() => ({
  schema: [],
  jobs: [],
  job: null,
  online: false,
  away: false,
  view: null,
  drawn: null,
  ghost: null,
  ghostOf: null,
  flash: null,
  queue: emptyQueue,
  refused: {},
  restored: [],
  elsewhere: [],
  notice: "",
  looking: "front",
  over: [],
  at: 200,
  stage: "measure",
  stepsOpen: false,
  cards: [],
  ticks: {},
  panel: null,
  small: null,
  tag: null,
  focus: null,
  pointed: null,
  said: "",
}));

/** Several things at once; who takes them is drawn again only when one of them changes. */
export function usePicked<K extends keyof Page>(...keys: K[]): Pick<Page, K> {
  return usePage(useShallow((p) => Object.fromEntries(keys.map((k) => [k, p[k]])) as Pick<Page, K>));
}

/** Nothing yet; one value, so that nobody draws again for it. */
export const kNoFields: Fields = {};
export const kNoNumbers: Record<string, number> = {};

export const set = usePage.setState;
export const get = usePage.getState;

/** Views that are read together: the fork from two sides, the pair of templates. */
export function partner(looking: Looking): Show | null {
  const pairs: Partial<Record<Looking, Show>> = {
    front: "side", side: "front", "template-left": "template-right", "template-right": "template-left",
  };
  return pairs[looking] ?? null;
}

/** What stands in a key's field: what was refused, else what is on its way, else the job's own text. */
export function typedNow(p: Page, key: string): string {
  const waiting = waitingEdits(p.queue).reverse().find((e) => e.key === key);
  return p.refused[key]?.typed ?? (waiting ? (waiting.typed ?? "") : (p.view?.fields[key]?.typed ?? ""));
}

/** What stood in the field before the first key: null for nothing, an assumed value, or what the server did not take. */
export function standing(p: Page, key: string): string | null {
  const waits = waitingEdits(p.queue).some((e) => e.key === key);
  if (p.refused[key] || (!waits && p.view?.fields[key]?.assumed)) return null;
  return typedNow(p, key) || null;
}
