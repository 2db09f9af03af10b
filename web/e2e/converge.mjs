// Windows that edit one fork at the same time, by the page's own queue (src/job/edits.ts), each with a bad line: in the end all see the
// same, every entry that was answered as saved is a revision, and every other was asked about.
//
//   node web/e2e/converge.mjs PROGRAM [CLIENTS 8] [SECONDS 60]
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { build } from "vite";
import WebSocket from "ws";
import { folder, serve } from "./server.mjs";

const [program, clients = "8", seconds = "60"] = process.argv.slice(2);
const kKeys = { "hub.over_locknut": [96, 120], "hub.axle": [9, 15], "steering.offset": [38, 52], "wheel.rim_width": [20, 30], "job.name": null };

/** The page's queue, made to run here. */
async function queueOfThePage() {
  const made = mkdtempSync(join(tmpdir(), "halfround-queue-"));
  process.on("exit", () => rmSync(made, { recursive: true, force: true }));
  const entry = new URL("../src/job/edits.ts", import.meta.url).pathname;
  await build({ configFile: false, logLevel: "silent", build: { lib: { entry, formats: ["es"], fileName: () => "edits.mjs" }, outDir: made, emptyOutDir: false } });
  return import(pathToFileURL(join(made, "edits.mjs")).href);
}
const { again, answered, emptyQueue, meant, next, tried } = await queueOfThePage();

function headerOf(bytes) {
  return JSON.parse(bytes.subarray(4, 4 + bytes.readUInt32LE(0)).toString("utf8"));
}
let dice = 20261130; // a fixed start, so that a bad day can be had again
const random = () => (dice = (Math.imul(dice, 1664525) + 1013904223) >>> 0) / 2 ** 32;
const between = (a, b) => a + random() * (b - a);

class Window {
  queue = emptyQueue;
  view = null;
  saved = []; // {key, typed, made}
  asked = []; // what was refused, and why
  waits = []; // ms from entry to answer
  entered = new Map();
  over = false;

  constructor(address, job, name) {
    Object.assign(this, { address, job, name });
    this.open();
  }
  open() {
    const s = new WebSocket(`${this.address.replace("http", "ws")}/api/live?job=${this.job}`);
    this.socket = s;
    s.on("open", () => {
      this.queue = again(this.queue);
      this.pump();
      this.show();
    });
    s.on("message", (bytes, binary) => this.socket === s && (binary ? this.takeIn(headerOf(bytes)) : JSON.parse(bytes).event === "changed" && this.show()));
    s.on("error", () => undefined);
    s.on("close", () => this.socket === s && !this.over && setTimeout(() => this.open(), between(20, 300)));
  }
  send(message) {
    if (this.socket.readyState !== WebSocket.OPEN) return false;
    this.socket.send(JSON.stringify({ show: "front", at: 0, ...message }));
    return true;
  }
  show() {
    const id = this.queue.next;
    this.queue = { ...this.queue, next: id + 1 };
    this.send({ do: "show", id });
  }
  pump() {
    const step = next(this.queue);
    if (step && this.send(step.send)) this.queue = step.queue;
  }
  takeIn(header) {
    const { queue, fresh, entry } = answered(this.queue, header);
    this.queue = queue;
    if (fresh) this.view = header;
    if (!entry) return;
    this.waits.push(performance.now() - this.entered.get(entry.edits[0].typed)); // no two are alike
    for (const e of entry.edits) {
      if (header.saved) this.saved.push({ ...e, made: header.made ?? header.revision });
      else this.asked.push({ ...e, why: header.problems[0]?.code ?? "" });
    }
    this.pump();
  }
  type() {
    const keys = Object.keys(kKeys), key = keys[Math.floor(random() * keys.length)], range = kKeys[key];
    const typed = range ? between(...range).toFixed(2) : `by ${this.name} ${Math.floor(random() * 1e6)}`;
    this.queue = tried(this.queue, [{ key, typed }], () => ({ base: this.view?.revision ?? 0, was: null })).queue;
    setTimeout(() => {
      const before = this.queue.unsaved;
      this.queue = meant(this.queue, this.view?.revision ?? 0, [{ key, typed }]);
      if (this.queue.unsaved !== before) this.entered.set(typed, performance.now());
      this.pump();
    }, between(0, 150));
  }
  stumble() {
    this.socket.terminate();
  }
}

const server = await serve(program, folder(), 0);
const get = async (path) => (await fetch(`${server.address}/api/${path}`)).json();
const { id } = (await get("jobs"))[0];
const windows = Array.from({ length: Number(clients) }, (_, i) => new Window(server.address, id, `w${i}`));
await new Promise((r) => setTimeout(r, 1000));
const end = Date.now() + 1000 * Number(seconds);
while (Date.now() < end) {
  const w = windows[Math.floor(random() * windows.length)];
  if (random() < 0.02) w.stumble();
  else w.type();
  await new Promise((r) => setTimeout(r, between(10, 60)));
}
for (let quiet = 0; quiet < 20; ) {
  await new Promise((r) => setTimeout(r, 200));
  quiet = windows.every((w) => w.queue.unsaved.length === 0 && w.socket.readyState === WebSocket.OPEN) ? quiet + 1 : 0;
}
const last = await get(`jobs/${id}`);
const texts = new Map();
for (const w of windows)
  for (const { made } of w.saved)
    if (!texts.has(made)) texts.set(made, await fetch(`${server.address}/api/jobs/${id}/view?revision=${made}&show=front&light=1`).then(async (r) => headerOf(Buffer.from(await r.arrayBuffer())).fields));
const lost = windows.flatMap((w) => w.saved.filter((e) => texts.get(e.made)?.[e.key]?.typed !== e.typed));
const agree = windows.every((w) => w.view.revision === last.revision && JSON.stringify(w.view.fields) === JSON.stringify(windows[0].view.fields));
const silent = windows.flatMap((w) => w.asked.filter((e) => e.why !== "edit-conflict"));
const waits = windows.flatMap((w) => w.waits).sort((a, b) => a - b);
const count = (of) => windows.reduce((n, w) => n + w[of].length, 0);
console.log(`${clients} windows, ${seconds} s: ${count("saved")} entries saved, ${count("asked")} asked about, ${lost.length} lost, revision ${last.revision}, ` +
  `answered in ${waits[waits.length >> 1]?.toFixed(0)} ms (median), ${waits[Math.floor(waits.length * 0.95)]?.toFixed(0)} ms (95 %)`);
if (lost.length) console.log(lost.slice(0, 5));
if (silent.length) console.log(silent.slice(0, 5));
console.log(agree ? "all see the same" : "FAIL they see different forks");
for (const w of windows) {
  w.over = true;
  w.socket.terminate();
}
await server.kill();
process.exit(agree && lost.length === 0 && silent.length === 0 && count("saved") > 0 ? 0 : 1);
