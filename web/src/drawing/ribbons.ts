// Every stitch as a flat ribbon on the crown, all in one mesh: four corners and two triangles each,
// in sewing order, so that the first k stitches are the first 6 k indices.
import { type CapShape, cross, unit, type Vec } from './capShape';
import { parseRgb } from './ink';
import type { Plan } from './plan';

export interface Ribbons {
  position: Float32Array; // 3 a corner, mm
  normal: Int8Array; // 4 a corner, 127 for 1
  colour: Uint8Array; // 4 a corner: thread, and 0 or 255 for the ribbon's two sides
  index: Uint32Array; // 6 a stitch
  /** By entry: stitches with thread up to and with it. */
  upTo: Uint32Array;
  count: number;
}

const kWide = 0.46; // mm; a little more than the chart's, so that few px show cover as it is
const kLift = 0.3; // mm off the cloth for the first stitch
const kRise = 0.25; // mm from first to last, so that later ones lie over earlier ones

export function ribbonsOf(plan: Plan, shape: CapShape): Ribbons {
  const { n, view } = plan;
  const upTo = new Uint32Array(n);
  let count = 0;
  for (let i = 0; i < n; ++i) {
    count += plan.sewn[i]!;
    upTo[i] = count;
  }
  const out: Ribbons = {
    position: new Float32Array(count * 12),
    normal: new Int8Array(count * 16),
    colour: new Uint8Array(count * 16),
    index: new Uint32Array(count * 6),
    upTo,
    count,
  };
  const inks = view.threads.map((t) => parseRgb(t.rgb));
  let k = 0;
  for (let i = 1; i < n; ++i) {
    if (!plan.sewn[i]) continue;
    const block = view.blocks[plan.block[i] ?? -1];
    const lift = kLift + (kRise * i) / n;
    put(out, k++, plan, i, shape, lift, inks[block?.thread ?? 0] ?? [128, 128, 128]);
  }
  return out;
}

function put(
  out: Ribbons,
  k: number,
  plan: Plan,
  i: number,
  shape: CapShape,
  lift: number,
  ink: readonly [number, number, number],
) {
  const [ax, ay, bx, by] = [plan.x[i - 1]!, plan.y[i - 1]!, plan.x[i]!, plan.y[i]!];
  const a = shape.onChart(ax, ay, lift);
  const b = shape.onChart(bx, by, lift);
  const my = (ay + by) / 2;
  const normal = shape.normal(shape.angle((ax + bx) / 2, my), my);
  const along = unit([b[0] - a[0], b[1] - a[1], b[2] - a[2]]);
  const across = unit(cross(along, normal));
  const corner = (c: number, p: Vec, side: 1 | -1) => {
    const v = 4 * k + c;
    for (const d of [0, 1, 2] as const) {
      out.position[3 * v + d] = p[d] + (side * across[d] * kWide) / 2;
      out.normal[4 * v + d] = Math.round(127 * normal[d]);
      out.colour[4 * v + d] = ink[d];
    }
    out.colour[4 * v + 3] = side > 0 ? 255 : 0;
  };
  corner(0, a, -1);
  corner(1, a, 1);
  corner(2, b, -1);
  corner(3, b, 1);
  out.index.set(
    [0, 1, 2, 2, 1, 3].map((c) => 4 * k + c),
    6 * k,
  );
}
