// Where the paper lies under the glass. Screen: px, y down; paper: mm, y up from the page's lower left. Pure.

export type Camera = { scale: number; x: number; y: number }; // px/mm; screen place of the page's upper left corner
export type Size = { width: number; height: number };

/** One CSS pixel is 1/96 in by definition; what it is on this glass, the bank card says. */
export const kCssPixelsPerMm = 96 / 25.4;
/** ISO/IEC 7810 ID-1. */
export const kCard: Size = { width: 85.6, height: 53.98 };

const kLeast = 0.15, kMost = 60;

/** What lies over the table's edges: rules and tools, px. */
const kEdge = { left: 24, right: 12, top: 74, bottom: 52 };

const kToolsInARow = 556, kSecondRow = 42; // px: in a narrower room the tools take two rows

/** The whole page in sight, clear of the table's edges. */
export function fitted(page: Size, room: Size): Camera {
  const top = kEdge.top + (room.width < kToolsInARow ? kSecondRow : 0);
  const wide = room.width - kEdge.left - kEdge.right, high = room.height - top - kEdge.bottom;
  const scale = Math.max(kLeast, Math.min(wide / page.width, high / page.height));
  return { scale, x: kEdge.left + (wide - page.width * scale) / 2, y: top + (high - page.height * scale) / 2 };
}

export function panned(c: Camera, dx: number, dy: number): Camera {
  return { ...c, x: c.x + dx, y: c.y + dy };
}

/** The point under (px, py) stays where it is. */
export function zoomed(c: Camera, factor: number, px: number, py: number): Camera {
  const scale = Math.max(kLeast, Math.min(kMost, c.scale * factor));
  const by = scale / c.scale;
  return { scale, x: px - (px - c.x) * by, y: py - (py - c.y) * by };
}

/** At a scale of one's own, the middle of the room kept. */
export function atScale(c: Camera, scale: number, room: Size): Camera {
  return zoomed(c, scale / c.scale, room.width / 2, room.height / 2);
}

/** A place of the page brought to the middle. */
export function centred(c: Camera, page: Size, at: { x: number; y: number }, room: Size): Camera {
  return { ...c, x: room.width / 2 - at.x * c.scale, y: room.height / 2 - (page.height - at.y) * c.scale };
}

export function toScreen(c: Camera, page: Size, x: number, y: number): { x: number; y: number } {
  return { x: c.x + x * c.scale, y: c.y + (page.height - y) * c.scale };
}

/** "1 : 1.42", "2.5 : 1": ISO 5455's way of saying it. */
export function scaleWords(scale: number, pixelsPerMm: number): string {
  const s = scale / pixelsPerMm;
  if (Math.abs(s - 1) < 0.004) return "1 : 1";
  return s < 1 ? `1 : ${(1 / s).toPrecision(3).replace(/\.?0+$/, "")}` : `${s.toPrecision(3).replace(/\.?0+$/, "")} : 1`;
}

/** The rule's divisions: the smallest of 1, 5, 10, 50 mm that stands at least `px` apart. */
export function division(scale: number, px: number): number {
  return [1, 2, 5, 10, 20, 50, 100, 200].find((d) => d * scale >= px) ?? 500;
}
