// Two rules laid along the upper and the left edge: true millimetres of the page under the glass.
import { memo } from "react";
import { division, type Camera, type Size } from "./camera";

const kWide = 18; // px

type Props = { camera: Camera; width: number; height: number; room: Size };

/** in  width  of the page the zero lies in the middle of; height  of what is laid out; mm */
export const Rules = memo(function Rules({ camera, width, height, room }: Props) {
  const step = division(camera.scale, 7);
  const names = division(camera.scale, 46);
  const marks = (length: number, start: number) => {
    const first = Math.ceil(-start / camera.scale / step);
    const last = Math.floor((length - start) / camera.scale / step);
    return Array.from({ length: Math.min(600, Math.max(0, last - first + 1)) }, (_, i) => (first + i) * step);
  };
  const middle = camera.x + (width / 2) * camera.scale;
  const foot = camera.y + height * camera.scale;
  const across = marks(room.width, middle);
  const up = marks(room.height, room.height - foot);
  const tall = (v: number) => (v % names === 0 ? 9 : v % (step * 5) === 0 ? 6 : 3.5);
  return (
    <g className="rules" aria-hidden="true">
      <rect width={room.width} height={kWide} />
      <rect width={kWide} height={room.height} />
      <path
        d={
          across.map((v) => `M${middle + v * camera.scale} ${kWide}v${-tall(v)}`).join("") +
          up.map((v) => `M${kWide} ${foot - v * camera.scale}h${-tall(v)}`).join("")
        }
      />
      {across.filter((v) => v % names === 0).map((v) => (
        <text key={v} x={middle + v * camera.scale + 2} y={9}>{Math.abs(v)}</text>
      ))}
      {up.filter((v) => v % names === 0).map((v) => (
        <text key={v} transform={`translate(9 ${foot - v * camera.scale - 2}) rotate(-90)`}>{v}</text>
      ))}
      <rect className="corner" width={kWide} height={kWide} />
      <text x={3} y={12}>mm</text>
    </g>
  );
});
