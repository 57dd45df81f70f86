// The chart as it is seen: chart mm (y up) to px of the plot (y down), turned by half a turn where
// the cap sits so on the machine.
import type { Xy } from '../types';

export interface Camera {
  /** px that one mm takes. */
  scale: number;
  /** The chart's place in the plot's middle. */
  x: number;
  y: number;
  turned: boolean;
  width: number; // of the plot, px
  height: number;
}

export interface Box {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

const side = (camera: Camera) => (camera.turned ? -1 : 1);

export function toPx(camera: Camera, x: number, y: number): Xy {
  const k = camera.scale * side(camera);
  return [camera.width / 2 + (x - camera.x) * k, camera.height / 2 - (y - camera.y) * k];
}

export function toMm(camera: Camera, px: number, py: number): Xy {
  const k = camera.scale * side(camera);
  return [camera.x + (px - camera.width / 2) / k, camera.y - (py - camera.height / 2) / k];
}

/** Chart mm to px as a, b, c, d, e, f of SVG and canvas. */
export function matrixOf(camera: Camera): [number, number, number, number, number, number] {
  const k = camera.scale * side(camera);
  return [k, 0, 0, -k, camera.width / 2 - camera.x * k, camera.height / 2 + camera.y * k];
}

/** What of the chart is seen, mm. */
export function seenBox(camera: Camera): Box {
  const [hx, hy] = [camera.width / 2 / camera.scale, camera.height / 2 / camera.scale];
  return { x0: camera.x - hx, y0: camera.y - hy, x1: camera.x + hx, y1: camera.y + hy };
}

/** The whole of `box` as large as the plot takes it. */
export function fitted(box: Box, width: number, height: number, turned = false): Camera {
  const [w, h] = [Math.max(1, box.x1 - box.x0), Math.max(1, box.y1 - box.y0)];
  const scale = Math.max(0.1, Math.min(width / w, height / h));
  return { scale, x: (box.x0 + box.x1) / 2, y: (box.y0 + box.y1) / 2, turned, width, height };
}

const kMostScale = 120; // px a mm: a stitch of 4 mm fills half the plot

/** Grown by `factor` with the place under (px, py) kept there; never smaller than `least`. */
export function zoomAt(
  camera: Camera,
  px: number,
  py: number,
  factor: number,
  least: number,
): Camera {
  const scale = Math.min(kMostScale, Math.max(least, camera.scale * factor));
  const [x, y] = toMm(camera, px, py);
  const k = scale * side(camera);
  return {
    ...camera,
    scale,
    x: x - (px - camera.width / 2) / k,
    y: y + (py - camera.height / 2) / k,
  };
}

export function pan(camera: Camera, dx: number, dy: number): Camera {
  const k = camera.scale * side(camera);
  return { ...camera, x: camera.x - dx / k, y: camera.y + dy / k };
}

/** Kept within `box`: its edges do not come inside the plot; where it is smaller it stands central. */
export function within(camera: Camera, box: Box): Camera {
  const clamp = (at: number, low: number, high: number, half: number) =>
    high - low <= 2 * half ? (low + high) / 2 : Math.min(high - half, Math.max(low + half, at));
  return {
    ...camera,
    x: clamp(camera.x, box.x0, box.x1, camera.width / 2 / camera.scale),
    y: clamp(camera.y, box.y0, box.y1, camera.height / 2 / camera.scale),
  };
}

export function isSame(a: Camera, b: Camera): boolean {
  return (
    a.scale === b.scale &&
    a.x === b.x &&
    a.y === b.y &&
    a.turned === b.turned &&
    a.width === b.width &&
    a.height === b.height
  );
}
