// Squared paper in millimetres with the tyre's middle line; both halves are shown, one is traced.
import { useRef, type KeyboardEvent, type PointerEvent } from "react";
import { folded, reach, snapped, transformOf, type Point } from "../job/trace";
import { shown } from "../job/numbers";
import type { Under } from "./PictureUnder";
import { kPressed } from "./TyreTrace";

type Props = {
  points: Point[];
  chosen: number;
  picture: Under;
  pressing: boolean; // places are being shown on the picture; points keep still
  onChoose: (i: number) => void;
  onPress: (p: Point) => void;
  onMove: (i: number, to: Point) => void;
  onRemove: (i: number) => void;
  onNext: (i: number) => void;
};

const kAbove = 8; // mm of paper above the tread's top
const kDot = 0.9, kHold = 2.4; // mm

export function SquaredPaper({ points, chosen, picture, pressing, onChoose, onPress, onMove, onRemove, onNext }: Props) {
  const paper = useRef<SVGSVGElement>(null);
  const held = useRef<number | null>(null);
  const grid = picture.laid ? picture.grid : reach(points);
  const line = (side: number) => points.map((p) => `${side * p.x} ${p.y}`).join("L");

  const placeOf = (e: PointerEvent): Point => {
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(paper.current!.getScreenCTM()!.inverse());
    return { x: p.x, y: p.y };
  };
  const onDown = (e: PointerEvent) => {
    if (e.button === 0) onPress(placeOf(e));
  };
  const onHold = (e: PointerEvent<SVGGElement>, i: number) => {
    if (pressing) return;
    e.stopPropagation();
    e.currentTarget.setPointerCapture(e.pointerId);
    held.current = i;
    onChoose(i);
  };
  const onDrag = (e: PointerEvent) => {
    if (held.current !== null) onMove(held.current, snapped(folded(placeOf(e)), e.shiftKey ? 0.1 : kPressed));
  };
  const onKey = (e: KeyboardEvent, i: number) => {
    const p = points[i]!, by = e.shiftKey ? 0.1 : 1;
    const go = (x: number, y: number) => onMove(i, snapped({ x: p.x + x, y: p.y + y }, 0.01));
    const deeds: Record<string, () => void> = {
      ArrowLeft: () => go(-by, 0), ArrowRight: () => go(by, 0), ArrowUp: () => go(0, -by), ArrowDown: () => go(0, by),
      Delete: () => onRemove(i), Backspace: () => onRemove(i), Enter: () => onNext(i),
    };
    if (!deeds[e.key]) return;
    e.preventDefault();
    e.stopPropagation();
    deeds[e.key]!();
  };

  return (
    <div className="trace-paper">
      <svg ref={paper} viewBox={`${-grid.x} ${-kAbove} ${2 * grid.x} ${grid.y + kAbove}`} role="group" aria-label="Squared paper, 1 mm; the tyre's middle line upright in its middle"
        onPointerDown={onDown} onPointerMove={onDrag} onPointerUp={() => (held.current = null)} onPointerCancel={() => (held.current = null)}>
        {picture.laid && <image href={picture.address} transform={transformOf(picture.laid)} opacity={picture.opacity} aria-hidden="true" />}
        <Squares grid={grid} />
        <path className="trace-axis" d={`M0 ${-kAbove}V${grid.y}`} aria-hidden="true" />
        <path className="trace-line other" d={`M${line(-1)}`} aria-hidden="true" />
        <path className="trace-line" d={`M${line(1)}`} aria-hidden="true" />
        {points.map((p, i) => (
          <g key={i} className={`trace-point${i === chosen ? " chosen" : ""}`} role="button" tabIndex={0} transform={`translate(${p.x} ${p.y})`}
            aria-label={`Point ${i + 1}: half width ${shown(p.x, 1)}, below the top ${shown(p.y, 1)} mm`} aria-pressed={i === chosen}
            onFocus={() => onChoose(i)} onPointerDown={(e) => onHold(e, i)} onKeyDown={(e) => onKey(e, i)}>
            <circle className="hold" r={kHold} />
            <circle className="dot" r={kDot} />
          </g>
        ))}
        {picture.marks.map((m, i) => <path key={i} className="trace-mark" aria-hidden="true" d={`M${m.x - 2} ${m.y}h4M${m.x} ${m.y - 2}v4`} />)}
      </svg>
    </div>
  );
}

/** The squares: lines each 1 mm, stronger ones each 10, numbered. */
function Squares({ grid }: { grid: Point }) {
  const lines = (step: number) => {
    let d = "";
    for (let x = -grid.x; x <= grid.x; x += step) d += `M${x} ${-kAbove}V${grid.y}`;
    for (let y = step === 1 ? -kAbove : 0; y <= grid.y; y += step) d += `M${-grid.x} ${y}H${grid.x}`;
    return d;
  };
  const tens = Array.from({ length: Math.floor(grid.x / 10) }, (_, i) => 10 * (i + 1));
  const down = Array.from({ length: Math.floor(grid.y / 10) }, (_, i) => 10 * (i + 1));
  return (
    <g aria-hidden="true">
      <path className="trace-grid" d={lines(1)} />
      <path className="trace-grid tens" d={lines(10)} />
      {tens.map((x) => <text key={x} className="trace-words" x={x} y={-kAbove + 3.4} textAnchor="middle">{x}</text>)}
      {down.map((y) => <text key={y} className="trace-words" x={-grid.x + 0.8} y={y - 0.6}>{y}</text>)}
    </g>
  );
}
