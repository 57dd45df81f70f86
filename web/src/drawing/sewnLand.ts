// Where stitches lie on the chart, so that leaders and numbered discs keep clear of them. mm, y up.
import type { Xy } from '../types';
import type { Plan } from './plan';

export interface SewnLand {
  /** Within 1 mm of thread, to the cells' 0.5 mm. */
  isSewn(x: number, y: number): boolean;
  /** Millimetres of the way from a to b that lie over stitches or within 1 mm of them. */
  sewnAlong(a: Xy, b: Xy): number;
  /** Whether a disc lies clear of stitches. */
  isClear(x: number, y: number, radius: number): boolean;
}

const kCell = 0.5; // mm
const kBeside = 2; // cells: 1 mm

export function sewnLand(plan: Plan): SewnLand {
  const [x0, y0, x1, y1] = plan.box ?? [0, 0, 0, 0];
  const [ox, oy] = [x0 - 2, y0 - 2];
  const nx = Math.ceil((x1 - x0 + 4) / kCell) + 1;
  const ny = Math.ceil((y1 - y0 + 4) / kCell) + 1;
  const bare = new Uint8Array(nx * ny);
  for (let e = 1; e < plan.n; ++e) {
    if (!plan.sewn[e]) continue;
    const [ax, ay, bx, by] = [plan.x[e - 1]!, plan.y[e - 1]!, plan.x[e]!, plan.y[e]!];
    const steps = Math.ceil(Math.hypot(bx - ax, by - ay) / kCell) + 1;
    for (let k = 0; k <= steps; ++k) {
      const t = k / steps;
      const i = Math.floor((ax + t * (bx - ax) - ox) / kCell);
      const j = Math.floor((ay + t * (by - ay) - oy) / kCell);
      bare[j * nx + i] = 1;
    }
  }
  const cells = grown(bare, nx, ny);
  const isSewn = (x: number, y: number) => {
    const i = Math.floor((x - ox) / kCell);
    const j = Math.floor((y - oy) / kCell);
    return i >= 0 && j >= 0 && i < nx && j < ny && cells[j * nx + i] === 1;
  };
  return {
    isSewn,
    sewnAlong(a, b) {
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      const n = Math.max(1, Math.floor(length / kCell));
      let sewn = 0;
      for (let k = 0; k < n; ++k) {
        const t = (k + 0.5) / n;
        if (isSewn(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))) ++sewn;
      }
      return (length * sewn) / n;
    },
    isClear(x, y, radius) {
      for (let v = -radius; v <= radius; v += kCell)
        for (let u = -radius; u <= radius; u += kCell)
          if (u * u + v * v <= radius * radius && isSewn(x + u, y + v)) return false;
      return true;
    },
  };
}

function grown(bare: Uint8Array, nx: number, ny: number): Uint8Array {
  const cells = new Uint8Array(bare.length);
  for (let j = 0; j < ny; ++j) {
    for (let i = 0; i < nx; ++i) {
      if (!bare[j * nx + i]) continue;
      for (let v = -kBeside; v <= kBeside; ++v)
        for (let u = -kBeside; u <= kBeside; ++u) {
          if (u * u + v * v > kBeside * kBeside) continue;
          if (i + u >= 0 && j + v >= 0 && i + u < nx && j + v < ny) cells[(j + v) * nx + i + u] = 1;
        }
    }
  }
  return cells;
}
