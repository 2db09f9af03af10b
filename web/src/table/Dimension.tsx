// A driving dimension: the number can be typed over where it stands, stepped with the arrow keys, or drawn along
// its dimension line with the hand.
import { useRef, type KeyboardEvent, type PointerEvent, type ReactNode } from "react";
import type { TextItem } from "../contract/types";
import { foresee, forget, saveEdits, tryEdits } from "../link/actions";
import { get, typedNow } from "../link/store";
import { nextSteps } from "../job/foresight";
import { stepped, unitOf } from "../job/numbers";
import { label } from "../job/tags";

const kRest = 450; // ms without a key until a stepped value is saved
const kGrip = 4; // px before a press becomes a pull

type Props = { item: TextItem; scale: number; plain: ReactNode; onOpen: (item: TextItem) => void };

/** What stands there now, where arrows can step it. */
function standing(key: string): { typed: string; unit: string } | null {
  const p = get();
  const field = p.view?.fields[key];
  if (!field || field.value === null) return null;
  return { typed: p.queue.trying.find((e) => e.key === key)?.typed ?? typedNow(p, key), unit: unitOf(field.form) };
}

function foreseeSteps(key: string): void {
  const now = standing(key);
  if (now) foresee(key, nextSteps(now.typed, now.unit));
}

export function Dimension({ item, scale, plain, onOpen }: Props) {
  const key = item.key!;
  const timer = useRef(0);
  const pull = useRef<{ x: number; y: number; typed: string; moved: boolean } | null>(null);

  const save = () => {
    window.clearTimeout(timer.current);
    const typed = get().queue.trying.find((e) => e.key === key)?.typed;
    if (typed !== undefined) saveEdits([{ key, typed }]);
  };

  const onKey = (e: KeyboardEvent) => {
    const up = e.key === "ArrowUp" || e.key === "ArrowRight";
    const down = e.key === "ArrowDown" || e.key === "ArrowLeft";
    if (up || down) {
      const now = standing(key);
      if (now) {
        tryEdits([{ key, typed: stepped(now.typed, (up ? 1 : -1) * (e.shiftKey ? 0.1 : 1), now.unit) }]);
        foreseeSteps(key);
        window.clearTimeout(timer.current);
        timer.current = window.setTimeout(save, kRest);
      }
    } else if (e.key === "Enter" || e.key === " " || /^[\d.,]$/.test(e.key)) {
      onOpen(item);
    } else if (e.key === "Escape") {
      window.clearTimeout(timer.current);
      forget(key);
    } else {
      return;
    }
    e.preventDefault();
    e.stopPropagation();
  };

  const onDown = (e: PointerEvent<SVGGElement>) => {
    e.stopPropagation();
    const field = get().view?.fields[key];
    if (!field || field.value === null) return;
    e.currentTarget.setPointerCapture(e.pointerId);
    pull.current = { x: e.clientX, y: e.clientY, typed: field.typed, moved: false };
  };
  const onMove = (e: PointerEvent) => {
    const p = pull.current;
    if (!p) return;
    const dx = e.clientX - p.x, dy = p.y - e.clientY;
    if (!p.moved && Math.hypot(dx, dy) < kGrip) return;
    p.moved = true;
    const along = (dx * Math.cos(item.r) + dy * Math.sin(item.r)) / scale;
    const step = e.shiftKey ? 0.1 : 0.5;
    const by = Math.round(along / step) * step;
    tryEdits([{ key, typed: stepped(p.typed, by, unitOf(get().view?.fields[key]?.form ?? "length")) }]);
  };
  const onUp = () => {
    const p = pull.current;
    pull.current = null;
    if (p?.moved) save();
    else if (p) onOpen(item);
  };

  return (
    <g
      className={`dimension${Math.abs(Math.sin(item.r)) > 0.7 ? " upright" : ""}`}
      role="button"
      tabIndex={0}
      data-key={key}
      aria-label={`${label(key)} ${item.s}. Enter types over it; arrows step it by 1, with shift by 0.1.`}
      onKeyDown={onKey}
      onFocus={() => foreseeSteps(key)}
      onBlur={save}
      onPointerDown={onDown}
      onPointerMove={onMove}
      onPointerUp={onUp}
      onPointerCancel={() => (pull.current = null)}
    >
      {plain}
    </g>
  );
}
