// A traced outline of rows of cells, for the small drawing beside a table. Pure. mm, y up.
import type { Cells } from "./lists";

export type Outline = { points: [number, number][][]; width: number; height: number };

const read = (cell: string | undefined) => Number((cell ?? "").replace(",", "."));

/** The blade lying down, tip at the left: its width above, its depth below. */
export function bladeOutline(rows: Cells[]): Outline | null {
  const s = rows.map((r) => ({ at: read(r["at"]), width: read(r["width"]), depth: read(r["depth"]) }));
  if (s.length < 2 || s.some((r) => !Number.isFinite(r.at + r.width + r.depth))) return null;
  const length = s[s.length - 1]!.at;
  const wide = Math.max(...s.map((r) => r.width));
  const deep = Math.max(...s.map((r) => r.depth));
  const gap = 12;
  const band = (half: "width" | "depth", middle: number): [number, number][] => [
    ...s.map((r): [number, number] => [r.at, middle + r[half] / 2]),
    ...[...s].reverse().map((r): [number, number] => [r.at, middle - r[half] / 2]),
  ];
  return { points: [band("width", deep + gap + wide / 2), band("depth", deep / 2)], width: length, height: wide + deep + gap };
}

/** The tyre's section from the middle out, both halves. */
export function tyreOutline(rows: Cells[]): Outline | null {
  const s = rows.map((r) => ({ half: read(r["half_width"]), below: read(r["below_top"]) }));
  if (s.length < 2 || s.some((r) => !Number.isFinite(r.half + r.below))) return null;
  const wide = Math.max(...s.map((r) => r.half));
  const high = Math.max(...s.map((r) => r.below));
  const right = s.map((r): [number, number] => [wide + r.half, high - r.below]);
  const left = [...s].reverse().map((r): [number, number] => [wide - r.half, high - r.below]);
  return { points: [[...right, ...left]], width: 2 * wide, height: high };
}
