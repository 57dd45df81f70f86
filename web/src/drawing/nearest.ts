// The stitch nearest to a place, by a grid of 1 mm cells.
import type { Plan } from './plan';

export interface Finder {
  /**
   * The entry whose thread (or bare needle-down) is seen at the place: of those that cover it the one
   * sewn last, else the nearest within `within` mm, or null.
   */
  nearest(x: number, y: number, within: number): number | null;
}

const kCell = 1; // mm
const kCovers = 0.21; // mm, half a thread

function distanceTo(plan: Plan, i: number, px: number, py: number): number {
  const bx = plan.x[i]!;
  const by = plan.y[i]!;
  if (!plan.sewn[i]) return Math.hypot(px - bx, py - by);
  const ax = plan.x[i - 1]!;
  const ay = plan.y[i - 1]!;
  const [dx, dy] = [bx - ax, by - ay];
  const length2 = dx * dx + dy * dy;
  const t = length2 > 0 ? ((px - ax) * dx + (py - ay) * dy) / length2 : 0;
  const s = Math.min(1, Math.max(0, t));
  return Math.hypot(px - ax - s * dx, py - ay - s * dy);
}

/** O(entries + sewn length) to make; a search looks at the cells around the place only. */
export function makeFinder(plan: Plan): Finder {
  const cells = new Map<number, number[]>();
  const key = (i: number, j: number) => (i + 4096) * 8192 + (j + 4096);
  const put = (i: number, j: number, entry: number) => {
    const list = cells.get(key(i, j));
    if (!list) cells.set(key(i, j), [entry]);
    else if (list[list.length - 1] !== entry) list.push(entry);
  };
  const { op } = plan.view.entries;
  for (let e = 0; e < plan.n; ++e) {
    if (op[e] !== 's') continue;
    const from = plan.sewn[e] ? e - 1 : e;
    const [ax, ay, bx, by] = [plan.x[from]!, plan.y[from]!, plan.x[e]!, plan.y[e]!];
    const steps = Math.ceil(Math.hypot(bx - ax, by - ay) / (kCell / 2)) + 1;
    for (let k = 0; k <= steps; ++k) {
      const t = k / steps;
      put(Math.floor((ax + t * (bx - ax)) / kCell), Math.floor((ay + t * (by - ay)) / kCell), e);
    }
  }
  return {
    nearest(x, y, within) {
      const reach = Math.ceil(within / kCell) + 1;
      const [ci, cj] = [Math.floor(x / kCell), Math.floor(y / kCell)];
      let best: number | null = null;
      let least = within;
      for (let ring = 0; ring <= reach && (ring - 1) * kCell <= least; ++ring) {
        for (let j = -ring; j <= ring; ++j) {
          for (let i = -ring; i <= ring; ++i) {
            if (Math.max(Math.abs(i), Math.abs(j)) !== ring) continue;
            for (const e of cells.get(key(ci + i, cj + j)) ?? []) {
              const d = Math.max(kCovers, distanceTo(plan, e, x, y));
              if (d < least || (d === least && best !== null && e > best)) [least, best] = [d, e];
            }
          }
        }
      }
      return best;
    },
  };
}
