// The chart's camera: fitted to its window when the plot's size or the cap changes, moved by drag,
// wheel, two fingers and keys.
import type { RefObject } from 'preact';
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Xy } from '../types';
import { type Box, type Camera, fitted, pan, within, zoomAt } from './camera';

export interface CameraInput {
  plot: RefObject<HTMLDivElement | null>;
  width: number;
  height: number;
  base: Box; // shown at first
  bounds: Box; // never left
  turned: boolean;
  onTap: (px: number, py: number) => void;
  onHover: (at: Xy | null) => void;
}

export interface CameraHold {
  camera: Camera | null;
  isBase: boolean;
  fitAll: () => void;
  zoom: (factor: number) => void;
  shift: (dx: number, dy: number) => void;
  /** Moves the place into sight where it is not. */
  show: (x: number, y: number) => void;
}

const kTapMove = 4; // px that a finger may slip

export function useCamera(input: CameraInput): CameraHold {
  const { width, height, base, bounds, turned } = input;
  const home = useMemo(
    () => (width > 0 && height > 0 ? fitted(base, width, height, turned) : null),
    [width, height, base.x0, base.y0, base.x1, base.y1, turned],
  );
  const [moved, setMoved] = useState<Camera | null>(null);
  // Another size or another cap: the chart stands as at first.
  useLayoutEffect(() => setMoved(null), [home]);
  const camera = moved && home && moved.width === home.width ? moved : home;
  const now = useRef<Camera | null>(null);
  now.current = camera;

  const put = (next: Camera) => {
    const kept = within(next, bounds);
    now.current = kept;
    setMoved(kept);
  };
  const zoomBy = (factor: number, px: number, py: number) => {
    if (now.current && home) put(zoomAt(now.current, px, py, factor, home.scale));
  };
  useGestures(input, { now, put, zoomBy, fitAll: () => setMoved(null) });
  return {
    camera,
    isBase: camera === home,
    fitAll: () => setMoved(null),
    zoom: (factor) => zoomBy(factor, width / 2, height / 2),
    shift: (dx, dy) => now.current && put(pan(now.current, dx, dy)),
    show(x, y) {
      const c = now.current;
      if (!c) return;
      const isSeen =
        Math.abs(x - c.x) < (0.46 * c.width) / c.scale &&
        Math.abs(y - c.y) < (0.46 * c.height) / c.scale;
      if (!isSeen) put({ ...c, x, y });
    },
  };
}

interface Moves {
  now: RefObject<Camera | null> | { current: Camera | null };
  put: (camera: Camera) => void;
  zoomBy: (factor: number, px: number, py: number) => void;
  fitAll: () => void;
}

function useGestures(input: CameraInput, moves: Moves) {
  const latest = useRef({ input, moves });
  latest.current = { input, moves };
  const isThere = input.width > 0;
  useEffect(() => {
    const plot = input.plot.current;
    if (!plot || !isThere) return;
    const stop = listen(plot, () => latest.current);
    return stop;
  }, [input.plot, isThere]);
}

function listen(plot: HTMLElement, at: () => { input: CameraInput; moves: Moves }): () => void {
  const fingers = new Map<number, Xy>();
  let slipped = 0;
  const place = (event: PointerEvent | WheelEvent | MouseEvent): Xy => {
    const box = plot.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const onWheel = (event: WheelEvent) => {
    const { moves, input } = at();
    const factor = Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0016));
    const before = moves.now.current;
    if (!before) return;
    const isAtHome = before.scale <= fitted(input.base, input.width, input.height).scale * 1.0001;
    if (isAtHome && factor < 1) return; // nothing more to show: the page scrolls on
    event.preventDefault();
    moves.zoomBy(factor, ...place(event));
  };
  const onDown = (event: PointerEvent) => {
    if (event.button !== 0) return;
    if (fingers.size === 0) slipped = 0;
    fingers.set(event.pointerId, place(event));
  };
  const onMove = (event: PointerEvent) => {
    const { moves, input } = at();
    const to = place(event);
    const from = fingers.get(event.pointerId);
    if (!from) {
      if (event.pointerType === 'mouse') input.onHover(to);
      return;
    }
    const camera = moves.now.current;
    if (!camera) return;
    slipped += Math.hypot(to[0] - from[0], to[1] - from[1]);
    if (slipped < kTapMove) return;
    if (!plot.hasPointerCapture(event.pointerId)) plot.setPointerCapture(event.pointerId);
    input.onHover(null);
    if (fingers.size === 2) {
      const other = [...fingers].find(([id]) => id !== event.pointerId)?.[1] ?? from;
      const before = Math.hypot(from[0] - other[0], from[1] - other[1]);
      const after = Math.hypot(to[0] - other[0], to[1] - other[1]);
      if (before > 0) moves.zoomBy(after / before, (to[0] + other[0]) / 2, (to[1] + other[1]) / 2);
    }
    const share = fingers.size === 2 ? 0.5 : 1;
    const c = moves.now.current;
    if (c) moves.put(pan(c, share * (to[0] - from[0]), share * (to[1] - from[1])));
    fingers.set(event.pointerId, to);
  };
  const onUp = (event: PointerEvent) => {
    const was = fingers.delete(event.pointerId);
    if (event.type === 'pointerup' && was && fingers.size === 0 && slipped < kTapMove)
      at().input.onTap(...place(event));
  };
  const onLeave = () => at().input.onHover(null);
  const onDouble = () => at().moves.fitAll();
  plot.addEventListener('wheel', onWheel, { passive: false });
  plot.addEventListener('pointerdown', onDown);
  plot.addEventListener('pointermove', onMove);
  plot.addEventListener('pointerup', onUp);
  plot.addEventListener('pointercancel', onUp);
  plot.addEventListener('pointerleave', onLeave);
  plot.addEventListener('dblclick', onDouble);
  return () => {
    plot.removeEventListener('wheel', onWheel);
    plot.removeEventListener('pointerdown', onDown);
    plot.removeEventListener('pointermove', onMove);
    plot.removeEventListener('pointerup', onUp);
    plot.removeEventListener('pointercancel', onUp);
    plot.removeEventListener('pointerleave', onLeave);
    plot.removeEventListener('dblclick', onDouble);
  };
}
