// A tyre's half profile traced by points over a grid, and the picture laid under it. Pure.
// mm; x: half width from the tyre's middle line, y: below the top of the tread, down.
import { rowsOf } from "./lists";
import { typedNumber } from "./numbers";

export type Point = { x: number; y: number };

export const kProfileKey = "wheel.tyre.half_profile";
export const kFewest = 3;
const kColumns = ["half_width", "below_top"];
const kWidest = 80, kDeepest = 150; // as the job's schema has it
const kApart = 0.1; // mm that a point lies below the one before it
const kPlaces = 2;

/** The points of a profile as it stands in the job; cells that are no plain numbers leave their point out. */
export function traced(typed: string): Point[] {
  const read = (cell: string | undefined) => Number((cell ?? "").replace(",", ".") || NaN);
  const all = (rowsOf(typed || "[]", kColumns) ?? []).map((r) => ({ x: read(r["half_width"]), y: read(r["below_top"]) }));
  const points = all.filter((p) => Number.isFinite(p.x + p.y));
  return points.length > 0 ? points : [{ x: 0, y: 0 }];
}

export function profileText(points: Point[]): string {
  return `[${points.map((p) => `[${typedNumber(p.x, kPlaces)}, ${typedNumber(p.y, kPlaces)}]`).join(", ")}]`;
}

export function snapped(p: Point, step: number): Point {
  const to = (v: number) => Number((Math.round(v / step) * step).toFixed(kPlaces));
  return { x: to(p.x), y: to(p.y) };
}

/** The tyre has two halves: a point of the left one is the same point. */
export function folded(p: Point): Point {
  return { x: Math.abs(p.x), y: p.y };
}

const within = (v: number, least: number, most: number) => Math.min(Math.max(v, least), most);

/** A new point among the others, in the order from the top down; on the height of one that is there it takes its place. */
export function added(points: Point[], p: Point): { points: Point[]; at: number } {
  const put = { x: within(p.x, 0, kWidest), y: within(p.y, 0, kDeepest) };
  const near = points.findIndex((q) => Math.abs(q.y - put.y) < kApart);
  if (near >= 0) return { points: moved(points, near, put), at: near };
  const at = points.filter((q) => q.y < put.y).length;
  return { points: [...points.slice(0, at), put, ...points.slice(at)], at };
}

/** A point moved, but not past its neighbours: each lies farther down than the one before. The first is the top. */
export function moved(points: Point[], i: number, to: Point): Point[] {
  const above = points[i - 1], below = points[i + 1];
  const least = above ? above.y + kApart : 0;
  const most = i === 0 ? 0 : below ? Math.max(least, below.y - kApart) : kDeepest;
  const put = { x: within(to.x, 0, kWidest), y: Number(within(to.y, least, most).toFixed(kPlaces)) };
  return points.map((p, k) => (k === i ? put : p));
}

/** Without the point; the top stays. */
export function without(points: Point[], i: number): Point[] {
  return i === 0 ? points : points.filter((_, k) => k !== i);
}

/** A point more, for the keyboard: halfway to the next, or on below the last. */
export function next(points: Point[], i: number): { points: Point[]; at: number } {
  const a = points[i], b = points[i + 1];
  if (!a) return added(points, { x: 0, y: 0 });
  return added(points, b ? snapped({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }, 0.1) : { x: a.x, y: a.y + 5 });
}

/** How far the grid reaches, in whole centimetres past what is traced. */
export function reach(points: Point[]): Point {
  const past = (v: number, least: number) => Math.max(least, Math.ceil((v + 8) / 10) * 10);
  return { x: past(Math.max(...points.map((p) => p.x)), 40), y: past(Math.max(...points.map((p) => p.y)), 60) };
}

/** A picture under the grid: where its upper left corner lies, mm for each of its pixels, its turn. */
export type Laid = { x: number; y: number; scale: number; turn: number };

/** A new picture, as wide as the grid and in its middle. */
export function laidUnder(width: number, height: number, grid: Point): Laid {
  const scale = Math.min((2 * grid.x) / width, grid.y / height);
  return { x: (-scale * width) / 2, y: 0, scale, turn: 0 };
}

/** Made larger or smaller so that a and b lie `mm` apart; a stays. Two presses on the same place change nothing. */
export function scaledBy(laid: Laid, a: Point, b: Point, mm: number): Laid {
  const now = Math.hypot(b.x - a.x, b.y - a.y);
  if (!(now > 0.01) || !(mm > 0)) return laid;
  const f = mm / now;
  return { ...laid, x: a.x + (laid.x - a.x) * f, y: a.y + (laid.y - a.y) * f, scale: laid.scale * f };
}

/** Moved and turned so that `top` comes to the top of the tread and `middle` onto the tyre's middle line below it. */
export function stoodUp(laid: Laid, top: Point, middle: Point): Laid {
  const far = Math.hypot(middle.x - top.x, middle.y - top.y);
  const by = far > 0.01 ? Math.PI / 2 - Math.atan2(middle.y - top.y, middle.x - top.x) : 0;
  const [c, s] = [Math.cos(by), Math.sin(by)];
  const dx = laid.x - top.x, dy = laid.y - top.y;
  return { ...laid, x: c * dx - s * dy, y: s * dx + c * dy, turn: laid.turn + by };
}

/** As SVG's transform of the picture in its own pixels. */
export function transformOf(laid: Laid): string {
  return `translate(${laid.x} ${laid.y}) rotate(${(laid.turn * 180) / Math.PI}) scale(${laid.scale})`;
}
