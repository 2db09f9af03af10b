// How soon the browser by itself could show a typed digit's drawing: pages that went ahead before are given back by the page
// itself, with no server and no line between. Once in the moment of asking, so that they come with the digit's own frame, and once as
// soon as the browser takes another task.
//
//   node benchmarks/page/floor.mjs PROGRAM
import { folder, serve } from "../../web/e2e/server.mjs";
import { both, openHub, row, typeDigits, watch } from "./typing.mjs";

const kKept = 4; // pages that are given by turns

/** Keeps the pages that go ahead; once `globalThis.answer` is set, tries are answered from them. */
function takeTheLine() {
  const kept = (globalThis.kept = []);
  const Real = globalThis.WebSocket;
  const read = (bytes) => {
    const length = new DataView(bytes).getUint32(0, true);
    return { head: JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, length))), points: bytes.slice(Math.ceil((4 + length) / 4) * 4) };
  };
  const written = ({ head, points }, reply) => {
    const text = new TextEncoder().encode(JSON.stringify({ ...head, reply }));
    const start = Math.ceil((4 + text.length) / 4) * 4, out = new ArrayBuffer(start + points.byteLength);
    new DataView(out).setUint32(0, text.length, true);
    new Uint8Array(out).set(text, 4);
    new Uint8Array(out).set(new Uint8Array(points), start);
    return out;
  };
  let given = 0;
  globalThis.WebSocket = class extends Real {
    constructor(...where) {
      super(...where);
      this.addEventListener("message", (m) => {
        if (!(m.data instanceof ArrayBuffer) || globalThis.answer) return;
        const frame = read(m.data);
        if (!("revision" in frame.head)) kept.push(frame);
      });
    }
    send(text) {
      const message = JSON.parse(text);
      if (message.do === "foresee") return;
      if (!globalThis.answer || message.do !== "try") return super.send(text);
      const data = written(kept[given++ % kept.length], message.id);
      globalThis.answer(() => this.onmessage?.({ data }));
    }
  };
}

const server = await serve(process.argv[2], folder(), 0);
const ways = {
  "answered in the moment of asking": () => (globalThis.answer = queueMicrotask),
  "answered as soon as the browser takes another task": () => (globalThis.answer = (give) => setTimeout(give, 0)),
};
let first = 1; // digit; the server remembers what it was asked, and nothing goes ahead of that
for (const [name, way] of Object.entries(ways)) {
  const { browser, page } = await openHub(server.address, takeTheLine);
  await typeDigits(page, kKept, first);
  first += kKept;
  await page.waitForTimeout(500);
  await page.evaluate(way);
  await watch(page);
  row(name, both((await typeDigits(page, 100)).shown), "-");
  await browser.close();
}
await server.kill();
process.exit(0);
