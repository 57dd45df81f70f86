// Leaders from worst places to their numbered discs: what each way costs, and where a bare number finds
// free land. Plot px, y down.
import type { WorstPlace, Xy } from '../types';
import { type Box, type Camera, toMm } from './camera';
import { type Measure, round, type Taken } from './lettering';
import type { SewnLand } from './sewnLand';

export interface CalloutRoom {
  camera: Camera;
  art: Box; // of the design, px
  land: SewnLand;
  taken: Taken;
  measure: Measure;
  hasWords: boolean;
  title: (place: WorstPlace) => string; // "Brass column, on the seam"
  detail: (place: WorstPlace) => string; // "gap 1.9 mm · 42 % of the risk"
}

export const kPin = 8.5; // px
const kRing_mm = 1.75;

/** Px of the ring: what 1.75 mm take, within bounds that hold at any zoom. */
export const ringPx = (camera: Camera) => Math.min(26, Math.max(7, kRing_mm * camera.scale));

function sewnPx(room: CalloutRoom, a: Xy, b: Xy): number {
  const { camera, land } = room;
  return land.sewnAlong(toMm(camera, ...a), toMm(camera, ...b)) * camera.scale;
}

/** Px of the way from a to b within the design's box. */
export function withinArt(a: Xy, b: Xy, art: Box): number {
  const n = 60;
  let inside = 0;
  for (let k = 0; k < n; ++k) {
    const t = (k + 0.5) / n;
    const x = a[0] + t * (b[0] - a[0]);
    const y = a[1] + t * (b[1] - a[1]);
    if (x > art.x0 && x < art.x1 && y > art.y0 && y < art.y1) ++inside;
  }
  return (Math.hypot(b[0] - a[0], b[1] - a[1]) * inside) / n;
}

/**
 * What a leader costs, px: its length, four times what of it lies over stitches, and much for every
 * other ring or pin that it passes over, since it could be read as theirs. Told as far as `most`.
 */
export function leaderCost(
  at: Xy,
  pin: Xy,
  others: Xy[],
  room: CalloutRoom,
  most = Infinity,
): number {
  const ring = ringPx(room.camera);
  let cost = Math.hypot(pin[0] - at[0], pin[1] - at[1]) + 4 * sewnPx(room, at, pin);
  for (let k = 1; k <= 20 && cost < most; ++k) {
    const x = at[0] + ((pin[0] - at[0]) * k) / 20;
    const y = at[1] + ((pin[1] - at[1]) * k) / 20;
    if (others.some((o) => Math.hypot(o[0] - x, o[1] - y) < ring + 3)) cost += 60;
    if (!room.taken.isFree(round(x, y, 0.5), 0)) cost += 60;
  }
  return cost;
}

/** The nearest free land for a bare number, or null. */
export function barePin(at: Xy, others: Xy[], room: CalloutRoom): { pin: Xy; cost: number } | null {
  const { camera, land, taken } = room;
  const ring = ringPx(camera);
  let best: { pin: Xy; cost: number } | null = null;
  for (let far = ring + kPin + 6; far <= 230; far += 7) {
    if (best && best.cost <= far) break;
    for (let k = 0; k < 32; ++k) {
      const a = (2 * Math.PI * k) / 32;
      const pin: Xy = [at[0] + far * Math.cos(a), at[1] + far * Math.sin(a)];
      const box = round(pin[0], pin[1], kPin + 2);
      if (box.x0 < 0 || box.y0 < 0 || box.x1 > camera.width || box.y1 > camera.height) continue;
      const [x, y] = toMm(camera, ...pin);
      if (!land.isClear(x, y, (kPin + 2) / camera.scale) || !taken.isFree(box, 2)) continue;
      if (others.some((o) => Math.hypot(o[0] - pin[0], o[1] - pin[1]) < ring + kPin + 4)) continue;
      const cost = leaderCost(at, pin, others, room, best?.cost);
      if (!best || cost < best.cost) best = { pin, cost };
    }
  }
  return best;
}
