// Questions asked once, over HTTP. A paired phone shows its token; the page at the machine needs none.
import type {
  Edit, Job, JobLine, LogLine, Moved, Problem, Revision, Row, SheetFile, Shop, Stands, Step, Ticks, Ways,
} from "../contract/types";
import { decodeFrame, type View } from "../contract/frame";

export class Refused extends Error {
  /** in  revision  the newest, where somebody was quicker */
  constructor(readonly status: number, readonly problems: Problem[], readonly revision = 0) {
    super(problems[0] ? `${problems[0].what} ${problems[0].fits}`.trim() : `The server answered ${status}.`);
  }
}

let token = "";
export function useToken(t: string): void {
  token = t;
}
export function tokenQuery(): string {
  return token ? `&token=${encodeURIComponent(token)}` : "";
}

async function ask(path: string, method = "GET", body?: unknown, signal?: AbortSignal): Promise<Response> {
  const headers: Record<string, string> = {};
  if (token) headers["Authorization"] = `Bearer ${token}`;
  if (body !== undefined) headers["Content-Type"] = "application/json";
  const reply = await fetch(path, { method, headers, body: body === undefined ? null : JSON.stringify(body), signal: signal ?? null });
  if (reply.ok) return reply;
  const said = (await reply.json().catch(() => ({}))) as { problems?: Problem[]; revision?: number };
  throw new Refused(reply.status, said.problems ?? [], said.revision);
}

async function json<T>(path: string, method = "GET", body?: unknown, signal?: AbortSignal): Promise<T> {
  return (await (await ask(path, method, body, signal)).json()) as T;
}

const job = (id: string) => `/api/jobs/${encodeURIComponent(id)}`;

export const schema = () => json<{ rows: Row[] }>("/api/schema").then((s) => s.rows);
export const cautions = () => json<{ cautions: string[] }>("/api/schema").then((s) => s.cautions);
export const jobs = () => json<JobLine[]>("/api/jobs");
export const newJob = (wanted: { name: string; from?: string; toml?: string }) =>
  json<{ id: string }>("/api/jobs", "POST", wanted).then((r) => r.id);
export const oneJob = (id: string) => json<Job>(job(id));
export const tomlLink = (id: string) => `${job(id)}/job.toml`;
export const edit = (id: string, base: number, edits: Edit[]) =>
  json<{ revision: number }>(`${job(id)}/edits`, "POST", { base, edits });

export const revisions = (id: string) => json<Revision[]>(`${job(id)}/revisions`);
export const nameNewest = (id: string, name: string) => json<unknown>(`${job(id)}/revisions`, "POST", { name });
export const compare = (id: string, a: number, b: number, signal?: AbortSignal) =>
  json<{ numbers: Moved[] }>(`${job(id)}/compare?a=${a}&b=${b}`, "GET", undefined, signal).then((c) => c.numbers);

/** in  show  one view, or several with commas */
export async function viewBytes(id: string, show: string, at: number, revision?: number, light = false): Promise<ArrayBuffer> {
  const which = (revision ? `&revision=${revision}` : "") + (light ? "&light=1" : "");
  return (await ask(`${job(id)}/view?show=${show}&at=${at}${which}`)).arrayBuffer();
}
export async function view(id: string, show: string, at: number, revision?: number, light = false): Promise<View> {
  return decodeFrame(await viewBytes(id, show, at, revision, light)) as View;
}

export const ways = (id: string, signal?: AbortSignal) => json<Ways>(`${job(id)}/replan`, "GET", undefined, signal);
export const takeWay = (id: string, base: number, way: number) =>
  json<{ revision: number }>(`${job(id)}/replan`, "POST", { base, way });

export const sheets = (id: string, signal?: AbortSignal) => json<SheetFile[]>(`${job(id)}/sheets`, "GET", undefined, signal);
export const sheetLink = (id: string, name: string) =>
  `${job(id)}/sheets/${name.split("/").map(encodeURIComponent).join("/")}`;
export const solid = (id: string, signal?: AbortSignal) => ask(`${job(id)}/solid.glb`, "GET", undefined, signal).then((r) => r.arrayBuffer());

export const cards = (id: string) =>
  json<{ cards: Omit<Step, "job">[] }>(`/api/cards/${encodeURIComponent(id)}`).then((c) => c.cards.map((card): Step => ({ ...card, job: id })));
export const ticks = (id: string) => json<{ steps: Ticks }>(`${job(id)}/steps`).then((s) => s.steps);
export const tick = (id: string, step: string, done: boolean, who: string) =>
  json<unknown>(`${job(id)}/steps`, "POST", { step, done, who });
/** in  readings  letter and what was typed */
export const stands = (id: string, readings: Record<string, string>, signal?: AbortSignal) =>
  json<Stands>(`${job(id)}/stands`, "POST", { readings }, signal);
export const log = (id: string) => json<LogLine[]>(`${job(id)}/log`);
export const addToLog = (id: string, line: LogLine) => json<unknown>(`${job(id)}/log`, "POST", line);

export const shop = () => json<Shop>("/api/shop");
export const shopSchema = () => json<{ rows: Row[] }>("/api/shop/schema").then((s) => s.rows);
export const editShop = (base: number, edits: Edit[]) => json<{ revision: number }>("/api/shop/edits", "POST", { base, edits });
export const turnShop = (way: "undo" | "redo", base: number) => json<{ revision: number }>(`/api/shop/${way}`, "POST", { base });

export type Network = { on: boolean; address: string };
export const network = () => json<Network>("/api/network");
export const switchNetwork = (on: boolean) => json<Network>("/api/network", "POST", { on });
export type Pairing = { link: string; qr_svg: string; token_id: number };
export type Device = { token_id: number; name: string; kind: string; made: string; seen: string };
export const pair = (name = "") => json<Pairing>("/api/pairing", "POST", { name });
export const paired = () => json<Device[]>("/api/pairing");
export const withdraw = (id: number) => json<unknown>(`/api/pairing/${id}`, "DELETE");
export const withdrawAll = () => json<unknown>("/api/pairing", "DELETE");

type Unit = { value: number | null; other: string; problem?: Problem };
const known = new Map<string, Promise<Unit>>();

/** The same in the other unit; each text is asked for once. */
export function unit(text: string, form: string): Promise<Unit> {
  const key = `${form} ${text}`;
  let asked = known.get(key);
  if (!asked) {
    if (known.size > 2000) known.clear();
    asked = json<Unit>(`/api/unit?form=${form}&text=${encodeURIComponent(text)}`);
    asked.catch(() => known.delete(key));
    known.set(key, asked);
  }
  return asked;
}
