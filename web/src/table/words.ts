// Where words come to stand when they are drawn larger than on paper, so that neighbours keep apart. Pure.
// mm, frame P.
import type { Item, TextItem } from "../contract/types";

const kRow = 1; // mm: words this near in height stand in one row
const kNextInRow = 30; // mm
const kCap = 0.73; // cap height over the em
const kWidth = 0.56; // a letter's width over the em, about

/** Words in a row from the left: the second is pushed on as the first grows. */
function pushedOn(text: TextItem, before: TextItem, swell: number): TextItem | null {
  const level = text.r === 0 && before.r === 0 && text.a === "left" && before.a === "left";
  const next = text.x - before.x;
  if (!level || Math.abs(text.y - before.y) >= kRow || next <= 0 || next > kNextInRow) return null;
  return { ...text, x: before.x + next * swell };
}

/** Numbers of dimensions one above the other stand by turns, as a draughtsman staggers them. */
function staggered(text: TextItem, before: TextItem, swell: number): TextItem | null {
  if (text.a !== "centre" || before.a !== "centre" || Math.abs(text.r - before.r) > 0.1) return null;
  const [c, s] = [Math.cos(text.r), Math.sin(text.r)];
  const dx = text.x - before.x, dy = text.y - before.y;
  const along = Math.abs(dx * c + dy * s), across = Math.abs(dy * c - dx * s);
  const em = (text.h / kCap) * swell;
  const length = (text.s.length + 1) * kWidth * em;
  if (along > length || across > 1.5 * kCap * em || across < kRow) return null;
  return { ...text, x: text.x + 1.05 * length * c, y: text.y + 1.05 * length * s };
}

/** The items of a group with their words moved to where they stand at this size. */
export function spread(items: Item[], swell: number): Item[] {
  if (swell <= 1) return items;
  let before: TextItem | null = null;
  return items.map((item) => {
    if (item.k !== "t") return item;
    const moved: TextItem = (before && (pushedOn(item, before, swell) ?? staggered(item, before, swell))) ?? item;
    before = moved;
    return moved;
  });
}
