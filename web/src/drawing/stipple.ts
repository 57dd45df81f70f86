// Dots of no-go land: 1 mm apart at its edge and up to 2.1 mm inland, thrown at random from a seed,
// so that the same land looks the same each time.
import type { Xy } from '../types';
import type { Box } from './camera';

/** 0 to 1, exclusive; mulberry32 (T. Ettinger, public domain). */
export function seeded(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const kCell = 2.1; // mm, the farthest that two dots keep each other away

/** `inland` gives 0 at the edge to 1 inland, below 0 outside. */
export function stipple(box: Box, inland: (x: number, y: number) => number, seed: number): Xy[] {
  const random = seeded(seed);
  const cells = new Map<string, Xy[]>();
  const dots: Xy[] = [];
  const tries = Math.min(20000, 18 * (box.x1 - box.x0) * (box.y1 - box.y0));
  for (let t = 0; t < tries; ++t) {
    const x = box.x0 + random() * (box.x1 - box.x0);
    const y = box.y0 + random() * (box.y1 - box.y0);
    const depth = inland(x, y);
    if (depth < 0) continue;
    const apart = 1 + 1.1 * Math.min(1, depth);
    const [i, j] = [Math.floor(x / kCell), Math.floor(y / kCell)];
    let isCrowded = false;
    for (let k = 0; k < 9 && !isCrowded; ++k)
      isCrowded = (cells.get(`${i + (k % 3) - 1},${j + Math.floor(k / 3) - 1}`) ?? []).some(
        ([u, v]) => Math.hypot(u - x, v - y) < apart,
      );
    if (isCrowded) continue;
    const key = `${i},${j}`;
    cells.set(key, [...(cells.get(key) ?? []), [x, y]]);
    dots.push([x, y]);
  }
  return dots;
}
