// A small drawing of what a table of numbers describes.
import type { Outline as Shape } from "../job/picture";

export function Outline({ shape, name }: { shape: Shape; name: string }) {
  const air = Math.max(shape.width, shape.height) * 0.03;
  const box = `${-air} ${-air} ${shape.width + 2 * air} ${shape.height + 2 * air}`;
  return (
    <svg className="outline" viewBox={box} role="img" aria-label={name} preserveAspectRatio="xMidYMid meet">
      <g transform={`translate(0 ${shape.height}) scale(1 -1)`}>
        {shape.points.map((line, i) => (
          <path key={i} d={`M${line.map(([x, y]) => `${x} ${y}`).join("L")}${shape.points.length > 1 ? "Z" : ""}`} />
        ))}
      </g>
    </svg>
  );
}
