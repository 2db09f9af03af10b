// One edit and its view, alone and beside 400 idle connections and a live socket that asks for views and never reads.
//
//   node benchmarks/page/crowd.mjs PROGRAM [EDITS]
import { connect } from "node:net";
import { folder, serve } from "../../web/e2e/server.mjs";

const [program, edits = "300"] = process.argv.slice(2);
const server = await serve(program, folder(), 0);
const id = (await (await fetch(`${server.address}/api/jobs`)).json())[0].id;
const quantile = (all, q) => [...all].sort((a, b) => a - b)[Math.min(all.length - 1, Math.floor(q * all.length))];

let typed = 0;
async function edit() {
  const start = performance.now();
  const body = JSON.stringify({ base: 0, edits: [{ key: "hub.over_locknut", typed: String(100 + (++typed % 97) / 10) }] });
  const saved = await fetch(`${server.address}/api/jobs/${id}/edits`, { method: "POST", headers: { Origin: server.address }, body });
  if (!saved.ok) throw new Error(await saved.text());
  await (await fetch(`${server.address}/api/jobs/${id}/view?show=front`)).arrayBuffer();
  return performance.now() - start;
}

async function row(what, between = () => {}) {
  const times = [];
  for (let i = 0; i < Number(edits); ++i) {
    between();
    times.push(await edit());
  }
  console.log(what.padEnd(42), `median ${quantile(times, 0.5).toFixed(1)} ms, 99 of 100 ${quantile(times, 0.99).toFixed(1)} ms`);
}

const opened = () => new Promise((resolve, refuse) => {
  const socket = connect(server.port, "127.0.0.1", () => resolve(socket));
  socket.on("error", refuse);
});

/// A text message whose mask is zero, so that the text stands as it is (RFC 6455, 5.2).
const message = (text) => Buffer.concat([Buffer.from([0x81, 0x80 | text.length, 0, 0, 0, 0]), Buffer.from(text)]);

async function slowReader() {
  const socket = await opened();
  socket.write(`GET /api/live?job=${id} HTTP/1.1\r\nHost: 127.0.0.1:${server.port}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n` +
    "Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n");
  await new Promise((resolve) => socket.once("data", resolve));
  return socket.pause();
}

for (let i = 0; i < 30; ++i) await edit(); // warm
await row("alone");
const idle = await Promise.all(Array.from({ length: 400 }, opened));
await row("beside 400 idle connections");
const slow = await slowReader();
await row("beside these and a slow reader", () => slow.write(message('{"do":"show","show":"side"}')));
for (const socket of [...idle, slow]) socket.destroy();
await row("alone again");
await server.kill();
process.exit(0);
