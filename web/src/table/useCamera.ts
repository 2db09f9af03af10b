// The hand on the paper: pan with the pointer or the arrow keys, zoom with wheel, pinch, + and −.
import { useCallback, useEffect, useRef, useState, type KeyboardEvent, type PointerEvent } from "react";
import { atScale, fitted, panned, zoomed, type Camera, type Size } from "./camera";

const kStep = 60; // px that an arrow key pans

export function useCamera(page: Size, pageName: string, pixelsPerMm: number) {
  const box = useRef<HTMLDivElement>(null);
  const [room, setRoom] = useState<Size>({ width: 0, height: 0 });
  const [camera, setCamera] = useState<Camera>({ scale: 1, x: 0, y: 0 });
  const [kept, setKept] = useState(false); // the hand has moved it: leave it there
  const pointers = useRef(new Map<number, { x: number; y: number }>());

  useEffect(() => {
    const element = box.current;
    if (!element) return;
    const seen = new ResizeObserver(() => setRoom({ width: element.clientWidth, height: element.clientHeight }));
    seen.observe(element);
    const wheel = (e: WheelEvent) => {
      e.preventDefault();
      const r = element.getBoundingClientRect();
      setKept(true);
      setCamera((c) => zoomed(c, Math.exp(-e.deltaY * (e.ctrlKey ? 0.01 : 0.0016)), e.clientX - r.left, e.clientY - r.top));
    };
    element.addEventListener("wheel", wheel, { passive: false });
    return () => {
      seen.disconnect();
      element.removeEventListener("wheel", wheel);
    };
  }, []);

  useEffect(() => setKept(false), [pageName]);
  useEffect(() => {
    if (!kept && room.width > 0 && page.width > 0) setCamera(fitted(page, room));
  }, [kept, room, page.width, page.height, pageName]);

  const move = useCallback((change: (c: Camera) => Camera) => {
    setKept(true);
    setCamera(change);
  }, []);
  const fit = useCallback(() => setKept(false), []);
  const trueSize = useCallback(() => move((c) => atScale(c, pixelsPerMm, room)), [move, pixelsPerMm, room]);
  const by = useCallback((f: number) => move((c) => zoomed(c, f, room.width / 2, room.height / 2)), [move, room]);

  const onKeyDown = (e: KeyboardEvent) => {
    const steps: Record<string, () => void> = {
      ArrowLeft: () => move((c) => panned(c, kStep, 0)),
      ArrowRight: () => move((c) => panned(c, -kStep, 0)),
      ArrowUp: () => move((c) => panned(c, 0, kStep)),
      ArrowDown: () => move((c) => panned(c, 0, -kStep)),
      "+": () => by(1.25),
      "=": () => by(1.25),
      "-": () => by(0.8),
      "0": fit,
      "1": trueSize,
    };
    const step = e.ctrlKey || e.metaKey || e.altKey ? undefined : steps[e.key];
    if (!step || e.target !== e.currentTarget) return;
    e.preventDefault();
    step();
  };

  const onPointerDown = (e: PointerEvent<HTMLDivElement>) => {
    if ((e.target as Element).closest(".over, .table-tools, button, input")) return;
    e.currentTarget.setPointerCapture(e.pointerId);
    pointers.current.set(e.pointerId, { x: e.clientX, y: e.clientY });
  };
  const onPointerMove = (e: PointerEvent<HTMLDivElement>) => {
    const before = pointers.current.get(e.pointerId);
    if (!before) return;
    const now = { x: e.clientX, y: e.clientY };
    const other = [...pointers.current].find(([id]) => id !== e.pointerId)?.[1];
    pointers.current.set(e.pointerId, now);
    if (!other) return move((c) => panned(c, now.x - before.x, now.y - before.y));
    const r = e.currentTarget.getBoundingClientRect();
    const far = (p: { x: number; y: number }) => Math.hypot(p.x - other.x, p.y - other.y) || 1;
    move((c) => zoomed(c, far(now) / far(before), (now.x + other.x) / 2 - r.left, (now.y + other.y) / 2 - r.top));
  };
  const onPointerUp = (e: PointerEvent) => pointers.current.delete(e.pointerId);
  const hands = { onKeyDown, onPointerDown, onPointerMove, onPointerUp, onPointerCancel: onPointerUp };
  return { box, room, camera, move, fit, trueSize, by, hands };
}
