// Frames as they come over the wire: header length, JSON header, padding, points. A view frame has everything; a
// page frame goes ahead of one, or was foreseen, and has its pages alone.
import type { Ahead, AreaItem, Foreseen, Header, Item, PathItem, Sheet } from "./types";

/** A page and the points of its items, x and y by turns. */
export type Leaf = { page: Sheet; points: Float32Array };
/** Its leaves are the views that were asked for, none without a fork. */
export type View = Omit<Header, "pages"> & { leaves: Leaf[] };
export type LeavesAhead = { reply: number; leaves: Leaf[] };
export type LeavesForeseen = Omit<Foreseen, "pages"> & { leaves: Leaf[] };
export type Frame = View | LeavesAhead | LeavesForeseen;

export const isForeseen = (frame: Frame): frame is LeavesForeseen => "typed" in frame;
export const isAhead = (frame: Frame): frame is LeavesAhead => !("revision" in frame);

/**
 * Takes a frame apart.
 *   in     ahead  pages that are there already: a view with their number may come without any
 *   fails  Error: the bytes are no frame, hold fewer points than the header counts, or lack their pages
 */
export function decodeFrame(bytes: ArrayBuffer, ahead: LeavesAhead[] = []): Frame {
  if (bytes.byteLength < 4) throw new Error("a frame has at least four bytes");
  const length = new DataView(bytes).getUint32(0, true);
  const start = Math.ceil((4 + length) / 4) * 4;
  if (4 + length > bytes.byteLength) throw new Error(`a header of ${length} bytes is longer than its frame`);
  const { pages, ...header } = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, length))) as Header | Ahead | Foreseen;
  if (pages) return { ...header, leaves: leavesOf(pages, bytes, start) } as Frame;
  const there = ahead.find((a) => a.reply === header.reply);
  if (!there) throw new Error("a view has no pages, and none went ahead of it");
  return { ...(header as Omit<Header, "pages">), leaves: there.leaves };
}

function leavesOf(pages: Sheet[], bytes: ArrayBuffer, start: number): Leaf[] {
  const counts = pages.map((p) => 2 * p.groups.flatMap((g) => g.items).reduce((sum, i) => sum + pointsOf(i), 0));
  const whole = Math.max(0, Math.floor((bytes.byteLength - start) / 4)), wanted = counts.reduce((a, b) => a + b, 0);
  if (wanted > whole) throw new Error(`the header counts ${wanted} numbers, the frame has ${whole}`);
  let at = start;
  return pages.map((page, i) => {
    const points = counts[i]! > 0 ? new Float32Array(bytes, at, counts[i]) : new Float32Array(0);
    at += 4 * counts[i]!;
    return { page, points };
  });
}

/** How many points an item takes from the block. */
export function pointsOf(item: Item): number {
  return item.k === "t" ? 0 : item.n.reduce((a, b) => a + b, 0);
}

/**
 * The "d" of an SVG path for an item whose points begin at number `from` of the block; to 0.001 mm.
 */
export function pathData(item: PathItem | AreaItem, points: Float32Array, from: number): string {
  let d = "";
  let at = from;
  item.n.forEach((count, k) => {
    for (let i = 0; i < count; ++i, at += 2) {
      d += (i === 0 ? "M" : "L") + short(points[at]!) + " " + short(points[at + 1]!);
    }
    if (item.k === "a" || item.c[k]) d += "Z";
  });
  return d;
}

function short(v: number): number {
  return Math.round(v * 1000) / 1000;
}
