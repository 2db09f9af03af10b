// Fails for a picture on which nothing is drawn: a page that was not ready, a sheet that lost its content.
//   node docs/has-drawing.mjs PICTURE.png ...
// Looks at the middle of each picture, where page and sheets have their drawing, and counts what differs from the
// ground. An empty table has none; the thinnest of ours has 2.7 %.
import { readFileSync } from "node:fs";
import { inflateSync } from "node:zlib";

const least = 0.01; // of the middle's pixels
const middle = { x: [0.2, 0.75], y: [0.2, 0.7] };

// 8-bit PNGs without interlacing, as browsers and pdftoppm write them
function pixels(file) {
  const bytes = readFileSync(file);
  const data = [];
  let width, height, kind, palette;
  for (let at = 8; at < bytes.length; ) {
    const size = bytes.readUInt32BE(at), name = bytes.toString("latin1", at + 4, at + 8), body = bytes.subarray(at + 8, at + 8 + size);
    if (name === "IHDR") {
      [width, height, kind] = [body.readUInt32BE(0), body.readUInt32BE(4), body[9]];
      if (body[8] !== 8 || body[12] !== 0) throw new Error(`${file}: not an 8-bit PNG without interlacing`);
    }
    if (name === "PLTE") palette = body;
    if (name === "IDAT") data.push(body);
    at += size + 12;
  }
  const n = { 0: 1, 2: 3, 3: 1, 4: 2, 6: 4 }[kind], raw = inflateSync(Buffer.concat(data)), stride = width * n;
  const out = Buffer.alloc(height * stride);
  for (let y = 0; y < height; ++y) {
    const filter = raw[y * (stride + 1)];
    for (let x = 0; x < stride; ++x) {
      const left = x >= n ? out[y * stride + x - n] : 0, up = y ? out[(y - 1) * stride + x] : 0, corner = x >= n && y ? out[(y - 1) * stride + x - n] : 0;
      const p = left + up - corner, dl = Math.abs(p - left), du = Math.abs(p - up), dc = Math.abs(p - corner);
      const guess = [0, left, up, (left + up) >> 1, dl <= du && dl <= dc ? left : du <= dc ? up : corner][filter];
      out[y * stride + x] = raw[y * (stride + 1) + 1 + x] + guess;
    }
  }
  const grey = (x, y) => {
    const at = y * stride + x * n;
    if (kind === 3) return (palette[3 * out[at]] + palette[3 * out[at] + 1] + palette[3 * out[at] + 2]) / 3;
    return n < 3 ? out[at] : (out[at] + out[at + 1] + out[at + 2]) / 3;
  };
  return { width, height, grey };
}

let failed = 0;
for (const file of process.argv.slice(2)) {
  const { width, height, grey } = pixels(file);
  const tones = new Array(256).fill(0);
  let all = 0;
  for (let y = Math.round(middle.y[0] * height); y < middle.y[1] * height; ++y)
    for (let x = Math.round(middle.x[0] * width); x < middle.x[1] * width; ++x) ++tones[Math.round(grey(x, y))], ++all;
  const ground = tones.indexOf(Math.max(...tones));
  const ink = tones.reduce((sum, n, tone) => sum + (Math.abs(tone - ground) > 24 ? n : 0), 0) / all;
  if (process.env.SHOW_INK) console.log(`${file}  ${(100 * ink).toFixed(2)} %`);
  if (ink >= least) continue;
  console.error(`${file}: nothing is drawn on it (${(100 * ink).toFixed(2)} % of its middle is ink, ${100 * least} % are the least)`);
  ++failed;
}
process.exit(failed ? 1 : 0);
