// What the phone had last, so that it can show it without a server: each thing under its job's name. Deeds are written before
// they are sent. Works over plain http; a picture needs the browser's database, which has more room.
import type { JobLine, Step, Ticks } from "../contract/types";
import { storeTable } from "../link/database";
import { readDeeds, type Deed } from "./offline";

const kDeeds = "halfround.deeds", kJob = "halfround.phone-job", kJobs = "halfround.phone-jobs";
const kCards = "halfround.cards", kTicks = "halfround.ticks";

function read<T>(name: string, none: T): T {
  try {
    return (JSON.parse(localStorage.getItem(name) ?? "null") as T | null) ?? none;
  } catch {
    return none;
  }
}
/** Without room the phone goes on with what it has in its memory. */
function write(name: string, value: unknown): boolean {
  try {
    localStorage.setItem(name, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

export const keptDeeds = () => readDeeds(localStorage.getItem(kDeeds));
export const keepDeeds = (deeds: Deed[]) => write(kDeeds, deeds);

export const keptJob = () => localStorage.getItem(kJob) ?? "";
export const keepJob = (job: string) => localStorage.setItem(kJob, job);
export const keptJobs = () => read<JobLine[]>(kJobs, []);
export const keepJobs = (jobs: JobLine[]) => write(kJobs, jobs);

export const keptCards = (job: string) => read<Step[]>(`${kCards}.${job}`, []).map((c) => ({ ...c, job }));
export const keepCards = (job: string, cards: Step[]) => write(`${kCards}.${job}`, cards);
export const keptTicks = (job: string) => read<Ticks>(`${kTicks}.${job}`, {});
export const keepTicks = (job: string, ticks: Ticks) => write(`${kTicks}.${job}`, ticks);

const pictures = storeTable("halfround-pictures", "frames");
export const keepPicture = (job: string, show: string, frame: ArrayBuffer) => pictures.put(frame, `${job} ${show}`);
export async function keptPicture(job: string, show: string): Promise<ArrayBuffer | null> {
  const found = await pictures.one(`${job} ${show}`);
  return found instanceof ArrayBuffer ? found : null;
}
