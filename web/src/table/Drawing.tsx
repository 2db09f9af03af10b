// One view frame as SVG: a <path> a stroke set, text as nodes. Frame P (mm, y up) outside, turned over once by
// whoever places it; only text is turned back. Everything that is no number of the job is decoration.
import { memo, type ReactNode } from "react";
import { pathData, pointsOf, type Leaf } from "../contract/frame";
import type { AreaItem, Dash, Group, PathItem, TextItem, Weight } from "../contract/types";
import { spread } from "./words";

/** Cap height over the em of the sheets' typeface. */
const kCapHeight = 1493 / 2048;

const kDashes: Record<Dash, (d: number) => string | undefined> = {
  solid: () => undefined,
  dashed: (d) => `${12 * d} ${3 * d}`,
  chain: (d) => `${24 * d} ${4 * d} ${2 * d} ${4 * d}`,
  double_chain: (d) => `${24 * d} ${4 * d} ${2 * d} ${4 * d} ${2 * d} ${4 * d}`,
};
const kWidths: Record<Weight, number> = { thick: 0.5, medium: 0.35, thin: 0.25 };

type Props = Leaf & {
  /** Text is drawn this many times its size on paper, so that it can be read when the page is small. */
  swell: number;
  dimension?: (text: TextItem, plain: ReactNode) => ReactNode;
  ghost?: boolean;
};

export const Drawing = memo(function Drawing({ page, points, swell, dimension, ghost }: Props) {
  let from = 0;
  return (
    <>
      {page.groups.map((g) => {
        const starts = g.items.map((item) => {
          const start = from;
          from += 2 * pointsOf(item);
          return start;
        });
        return <OneGroup key={g.name} {...{ points, group: g, starts, swell, dimension, ghost }} />;
      })}
    </>
  );
});

function OneGroup({ points, group, starts, swell, dimension, ghost }: Omit<Props, "page"> & { group: Group; starts: number[] }) {
  const lines = group.items.map((item, i) =>
    item.k === "p" ? <Strokes key={i} item={item} d={pathData(item, points, starts[i]!)} />
    : item.k === "a" ? <Fill key={i} item={item} d={pathData(item, points, starts[i]!)} />
    : null,
  );
  if (ghost) return <g aria-hidden="true">{lines}</g>;
  const whole = asOne(group, swell);
  if (whole && swell > kTableMost) return null;
  return (
    <g className={`group-${group.name}`} transform={whole ?? undefined}>
      <g role="img" aria-label={group.label || group.name}>
        {lines}
      </g>
      {spread(group.items, whole ? 1 : swell).map((item, i) => {
        if (item.k !== "t") return null;
        const plain = <Words item={item} swell={whole ? 1 : swell} />;
        return <g key={`t${i}`}>{item.key && dimension ? dimension(item, plain) : plain}</g>;
      })}
    </g>
  );
}

const kTableMost = 2.8; // grown more than this it would lie over the drawing

/** A small table of words with its lines grows as one, from its upper right corner. */
function asOne(group: Group, swell: number): string | null {
  if (swell <= 1 || group.name !== "words" || !group.items.some((i) => i.k === "p")) return null;
  const texts = group.items.filter((i): i is TextItem => i.k === "t");
  const x = Math.max(...texts.map((t) => t.x)), y = Math.max(...texts.map((t) => t.y));
  return `translate(${x} ${y}) scale(${swell}) translate(${-x} ${-y})`;
}

function Strokes({ item, d }: { item: PathItem; d: string }) {
  const unit = Math.max(kWidths[item.w], 0.25) * (96 / 25.4);
  return (
    <path
      className={item.f ? `filled ${item.i}` : `stroke ${item.w} ${item.i}`}
      strokeDasharray={item.f ? undefined : kDashes[item.d](unit)}
      d={d}
    />
  );
}

function Fill({ item, d }: { item: AreaItem; d: string }) {
  if (item.fill === "tone") return <path className={`tone ${item.i}`} fillOpacity={item.tone} fillRule="evenodd" d={d} />;
  const degrees = Math.round((item.angle * 180) / Math.PI);
  const id = `hatch-${item.i}-${degrees}-${item.spacing}`.replace(/\./g, "_");
  return (
    <>
      <pattern id={id} patternUnits="userSpaceOnUse" width={item.spacing} height={item.spacing} patternTransform={`rotate(${degrees})`}>
        <path className={`hatching ${item.i}`} d={`M0 0H${item.spacing}`} />
      </pattern>
      <path fill={`url(#${id})`} fillRule="evenodd" d={d} />
    </>
  );
}

/** About how wide the words are, in ems: good enough for a plate behind them. */
export function emsOf(words: string): number {
  return words.length * 0.56;
}

function Words({ item, swell }: { item: TextItem; swell: number }) {
  const em = (item.h / kCapHeight) * swell;
  const width = emsOf(item.s) * em;
  const left = item.a === "left" ? 0 : item.a === "centre" ? -width / 2 : -width;
  const anchor = { left: "start", centre: "middle", right: "end" }[item.a] as "start" | "middle" | "end";
  return (
    <g transform={`translate(${item.x} ${item.y}) scale(1 -1) rotate(${(-item.r * 180) / Math.PI})`}>
      {(item.bg || item.key) && (
        <rect className="plate" x={left - 0.1 * em} y={-0.84 * em} width={width + 0.2 * em} height={item.key ? 1.1 * em : 0.96 * em} />
      )}
      <text
        className={`words ${item.i}${item.b ? " bold" : ""}${item.it ? " assumed" : ""}`}
        fontSize={em}
        textAnchor={anchor}
      >
        {item.s.replace(/-(?=\d)/g, "−")}
      </text>
    </g>
  );
}
