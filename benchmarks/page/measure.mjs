// The page in a real browser: how soon a typed digit shows, how soon the page is there, what comes over the line, what the
// server holds after many edits. Needs `npm ci` in web/ and Debian's chromium.
//
//   node benchmarks/page/measure.mjs PROGRAM [EDITS]
import { readFileSync, readdirSync } from "node:fs";
import { gzipSync } from "node:zlib";
import { join } from "node:path";
import { launch } from "../../web/e2e/browser.mjs";
import { folder, serve } from "../../web/e2e/server.mjs";
import { both, countForeseen, foreseeNothing, kPace, kQuickPace, openHub, quantile, row, typeDigits, watch } from "./typing.mjs";

const [program, edits = "10000"] = process.argv.slice(2);
const data = folder();
const server = await serve(program, data, 0);

// --- a typed digit until the drawing, then the numbers, have changed on the screen
for (const [how, pace, early] of [["", kPace, countForeseen], [", a quick hand", kQuickPace, countForeseen], [", nothing foreseen", kPace, foreseeNothing]]) {
  const { browser, page } = await openHub(server.address, early);
  await watch(page);
  const { tries, changed, shown, numbers } = await typeDigits(page, 200, 0, pace);
  if (tries) row(`digits foreseen${how}`, `${tries.foreseen} of ${tries.all}`, "-");
  row(`typed digit to the changed page${how}, median / 99 of 100 (${changed.length})`, both(changed), "-");
  row(`typed digit to changed drawing on the screen${how}`, both(shown), "16 / 33 ms");
  row(`typed digit to changed numbers on the screen${how}`, both(numbers), "-");
  await browser.close();
}

// --- the page cold: a fresh browser each time
const cold = [];
let bytes = 0;
for (let i = 0; i < 5; ++i) {
  const fresh = await launch({ solid: false });
  const p = await (await fresh.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
  bytes = 0;
  p.on("response", async (r) => {
    if (/\/(assets\/.*)?$|index\.html|favicon/.test(new URL(r.url()).pathname)) bytes += gzipSync(await r.body().catch(() => Buffer.alloc(0))).length;
  });
  const start = performance.now();
  await p.goto(server.address);
  await p.locator(".dimension").first().waitFor();
  cold.push(performance.now() - start);
  await fresh.close();
}
row("page there with its drawing, cold, median of 5", `${quantile(cold, 0.5).toFixed(0)} ms`, "1000 ms");
row("first load, gzipped, without the solid", `${(bytes / 1000).toFixed(0)} kB`, "250 kB");

// --- the line against the engine: a view asked for, against what the engine says it took
const id = (await (await fetch(`${server.address}/api/jobs`)).json())[0].id;
const trip = [], engine = [];
let revision = (await (await fetch(`${server.address}/api/jobs/${id}`)).json()).revision;
async function edit(n) {
  const r = await fetch(`${server.address}/api/jobs/${id}/edits`, {
    method: "POST",
    headers: { "Content-Type": "application/json", Origin: server.address },
    body: JSON.stringify({ base: revision, edits: [{ key: "hub.over_locknut", typed: String(100 + (n % 97) / 10) }] }),
  });
  revision = (await r.json()).revision;
}
for (let i = 0; i < 60; ++i) {
  await edit(i);
  const start = performance.now();
  const frame = new DataView(await (await fetch(`${server.address}/api/jobs/${id}/view?show=front`)).arrayBuffer());
  trip.push(performance.now() - start);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(frame.buffer, 4, frame.getUint32(0, true))));
  engine.push(head.milliseconds.solve);
}
row("round trip of a whole view over the engine's solve, medians", `${quantile(trip, 0.5).toFixed(1)} / ${quantile(engine, 0.5).toFixed(1)} ms`, "twice");

// --- what the server holds after many edits
const held = () => Number(readFileSync(`/proc/${server.pid}/status`, "utf8").match(/VmRSS:\s+(\d+)/)[1]) / 1000;
const before = held(), begun = performance.now();
for (let i = 0; i < Number(edits); ++i) await edit(i);
row(`server's memory after ${edits} edits (${before.toFixed(0)} MB before)`, `${held().toFixed(0)} MB`, "100 MB");
row("one saved edit, mean", `${((performance.now() - begun) / Number(edits)).toFixed(2)} ms`, "-");
console.log("files of the store:", readdirSync(data).join(" "), join(data));
await server.kill();
process.exit(0);
