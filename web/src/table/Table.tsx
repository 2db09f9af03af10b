// The table: the drawing on a sheet of true millimetres, filling the screen. Where there is room the view that
// is read together with it lies beside it, at the same height.
import { memo, useCallback, useEffect, useMemo, useState, type ReactNode } from "react";
import type { Leaf, View } from "../contract/frame";
import type { TextItem } from "../contract/types";
import { look, openPanel } from "../link/actions";
import { usePage, usePicked } from "../link/store";
import { Press } from "../parts/Press";
import { centred, kCssPixelsPerMm, scaleWords, toScreen } from "./camera";
import { Dimension } from "./Dimension";
import { Drawing } from "./Drawing";
import { Over } from "./Over";
import { Rules } from "./Rules";
import { useCamera } from "./useCamera";
import { Views } from "./Views";

const kReadable = 12.5; // px: no dimension on the table is set smaller
const kEm = (3.5 * 2048) / 1493; // mm: what a dimension's number has on paper
const kBetween = 24; // mm between two views
const kWide = 640; // px of room for two views

export function pixelsPerMm(): number {
  return Number(localStorage.getItem("halfround.pixels-per-mm")) || kCssPixelsPerMm;
}

/** One page, or two side by side. */
function laid(first: Leaf | undefined, other: Leaf | undefined) {
  const a = first?.page ?? { width: 0, height: 0, name: "" };
  const b = other?.page;
  if (!b || b.width === 0) return { width: a.width, height: a.height, name: a.name, second: 0 };
  return { width: a.width + kBetween + b.width, height: Math.max(a.height, b.height), name: `${a.name}; ${b.name}`, second: a.width + kBetween };
}

export function Table() {
  const { drawn, ghost, flash, looking, at } = usePicked("drawn", "ghost", "flash", "looking", "at");
  const unsolved = usePage((p) => !!p.view && !p.view.solved);
  const perMm = pixelsPerMm();
  const [wide, setWide] = useState(false);
  const first = drawn?.leaves[0];
  const other = wide ? drawn?.leaves[1] : undefined;
  const page = useMemo(() => laid(first, other), [first, other]);
  const { box, room, camera, move, fit, trueSize, by, hands } = useCamera(page, `${looking} ${page.second > 0}`, perMm);
  const [over, setOver] = useState<TextItem | null>(null);
  useEffect(() => setWide(room.width > kWide), [room.width]);

  const swell = looking.startsWith("template") ? 1 : Math.max(1, Math.round((kReadable / (kEm * camera.scale)) * 20) / 20);
  const onPaper = `translate(${camera.x} ${camera.y + page.height * camera.scale}) scale(${camera.scale} ${-camera.scale})`;
  const second = `translate(${page.second} 0)`;
  const places = usePlaces(page.second);
  useEffect(() => {
    const first = places[0];
    if (first) move((c) => (outside(toScreen(c, page, first.x, first.y), room) ? centred(c, page, first, room) : c));
  }, [places.length]);

  return (
    <div
      className={`table${unsolved ? " unsolved" : ""}`}
      ref={box}
      tabIndex={0}
      role="region"
      aria-label={`The table: ${page.name}. Arrows move the paper, plus and minus zoom, 0 fits it, 1 is true size.`}
      {...hands}
    >
      <svg width={room.width} height={room.height}>
        <g transform={onPaper}>
          <Ghosts ghost={ghost} flash={flash} second={other ? second : null} />
          {first && <Live leaf={first} swell={swell} scale={camera.scale} onOpen={setOver} right={0} />}
          {other && <g transform={second}><Live leaf={other} swell={swell} scale={camera.scale} onOpen={setOver} right={page.second} /></g>}
          {places.map((p, i) => <Pointer key={i} x={p.x} y={p.y} r={16 / camera.scale} />)}
        </g>
        {room.width > 0 && <Rules camera={camera} width={(first?.page ?? page).width} height={page.height} room={room} />}
      </svg>
      {unsolved && !drawn && <p className="solid-said">There is no such fork yet, so there is nothing to draw. The slip says why and what would help.</p>}
      {over && <Over key={over.key} item={over} camera={camera} page={page} room={room} onDone={() => setOver(null)} />}
      <div className="table-tools left">
        <Views />
        {looking === "section" && (
          <label className="station">
            <span>{at} mm from the tip</span>
            <input type="range" min={0} max={Math.ceil(drawn?.fields["blades.stock_length"]?.value ?? 500)} value={at}
              onChange={(e) => look("section", Number(e.target.value))} />
          </label>
        )}
      </div>
      <PaperTools scale={scaleWords(camera.scale, perMm)} {...{ by, fit, trueSize }} />
    </div>
  );
}

type PaperToolsProps = { scale: string; by: (f: number) => void; fit: () => void; trueSize: () => void };

/** Stands still while the drawing changes. */
const PaperTools = memo(function PaperTools({ scale, by, fit, trueSize }: PaperToolsProps) {
  return (
    <div className="table-tools right" role="toolbar" aria-label="Paper">
      <span className="scale" title="Scale of the drawing on this glass">{scale}</span>
      <Press onPress={() => by(0.8)} label="Smaller" kind="quiet">−</Press>
      <Press onPress={() => by(1.25)} label="Larger" kind="quiet">+</Press>
      <Press onPress={fit} kind="quiet" hint="Fit the whole page">fit</Press>
      <Press onPress={trueSize} kind="quiet" hint="True size">1 : 1</Press>
      <Press onPress={() => openPanel("card")} kind="quiet" hint="Set true size with a bank card">card</Press>
    </div>
  );
});

/** The places of the slip's line that was pointed at, in both views. mm of the laid page. */
function usePlaces(second: number): { x: number; y: number }[] {
  const { pointed, drawn } = usePicked("pointed", "drawn");
  return useMemo(() => {
    const index = pointed && drawn ? drawn.verdicts.findIndex((v) => v.what === pointed.what && v.code === pointed.code) : -1;
    if (index < 0) return [];
    const [a, b] = drawn!.verdicts[index]!.places;
    return [...(a ? [a] : []), ...(b && second > 0 ? [{ x: b.x + second, y: b.y }] : [])];
  }, [pointed, drawn, second]);
}

type LiveProps = { leaf: Leaf; swell: number; scale: number; right: number; onOpen: (item: TextItem) => void };

function Live({ leaf, swell, scale, right, onOpen }: LiveProps) {
  const dimension = useCallback(
    (item: TextItem, plain: ReactNode) => (
      <Dimension item={item} plain={plain} scale={scale} onOpen={(i) => onOpen({ ...i, x: i.x + right })} />
    ),
    [scale, right, onOpen],
  );
  return <Drawing {...leaf} swell={swell} dimension={dimension} />;
}

function Ghosts({ ghost, flash, second }: { ghost: View | null; flash: View | null; second: string | null }) {
  const [first, other] = ghost?.leaves ?? [];
  const gone = flash?.leaves[0];
  return (
    <>
      {first && <g className="ghost"><Drawing {...first} swell={1} ghost /></g>}
      {other && second && <g className="ghost" transform={second}><Drawing {...other} swell={1} ghost /></g>}
      {gone && <g className="ghost fading"><Drawing {...gone} swell={1} ghost /></g>}
    </>
  );
}

function outside(p: { x: number; y: number }, room: { width: number; height: number }): boolean {
  return p.x < 40 || p.y < 40 || p.x > room.width - 40 || p.y > room.height - 40;
}

function Pointer({ x, y, r }: { x: number; y: number; r: number }) {
  const ring = `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
  const ticks = `M${x - 1.7 * r} ${y}h${0.7 * r}M${x + r} ${y}h${0.7 * r}M${x} ${y - 1.7 * r}v${0.7 * r}M${x} ${y + r}v${0.7 * r}`;
  return <path className="pointer" aria-hidden="true" d={ring + ticks} />;
}
