// Lines of equal gap, and the ground above a level.
//
// Marching squares (W. Lorensen, H. Cline, SIGGRAPH 1987, in its two-dimensional form) with linear
// interpolation along the cells' edges; a saddle is decided by the mean of its four corners. A field
// that is linear over a cell is met exactly. Thinning: D. Douglas, T. Peucker, Cartographica 10(2),
// 1973.
import type { GapGrid, Xy } from '../types';

export interface Contour {
  level: number;
  points: Xy[];
  closed: boolean;
}

const kThinning = 0.02; // mm

interface Field {
  x0: number;
  y0: number;
  step: number;
  nx: number;
  ny: number;
  z: Float64Array;
}

/** Cells with an unknown corner carry no line. */
function fieldOf(grid: GapGrid): Field {
  const z = new Float64Array(grid.nx * grid.ny);
  for (let k = 0; k < z.length; ++k) z[k] = grid.mm[k] ?? Number.NaN;
  return { x0: grid.x0, y0: grid.y0, step: grid.step_mm, nx: grid.nx, ny: grid.ny, z };
}

// Edges of the grid, numbered: horizontal edge (i, j)-(i+1, j) is 2 (j nx + i), vertical
// (i, j)-(i, j+1) is that plus one. Each crossed edge is left by exactly one segment and entered by
// exactly one, save on the border, so chains need no search by coordinates.
class Crossings {
  readonly next: Int32Array;
  readonly entered: Uint8Array;
  constructor(
    readonly field: Field,
    readonly level: number,
  ) {
    this.next = new Int32Array(2 * field.nx * field.ny).fill(-1);
    this.entered = new Uint8Array(this.next.length);
  }
  link(from: number, to: number) {
    this.next[from] = to;
    this.entered[to] = 1;
  }
  point(edge: number): Xy {
    const { nx, z, x0, y0, step } = this.field;
    const node = edge >> 1;
    const i = node % nx;
    const j = (node - i) / nx;
    const isUp = (edge & 1) === 1;
    const a = z[node]!;
    const b = isUp ? z[node + nx]! : z[node + 1]!;
    const t = Math.min(1, Math.max(0, (this.level - a) / (b - a)));
    return [x0 + (i + (isUp ? 0 : t)) * step, y0 + (j + (isUp ? t : 0)) * step];
  }
}

// Segments of one cell, walked so that the higher ground lies to the left.
function march(c: Crossings, i: number, j: number) {
  const { nx, z } = c.field;
  const n = j * nx + i;
  const { level } = c;
  const z0 = z[n]!;
  const z1 = z[n + 1]!;
  const z2 = z[n + nx + 1]!;
  const z3 = z[n + nx]!;
  const above =
    (z0 >= level ? 1 : 0) | (z1 >= level ? 2 : 0) | (z2 >= level ? 4 : 0) | (z3 >= level ? 8 : 0);
  if (above === 0 || above === 15) return;
  const sum = z0 + z1 + z2 + z3;
  if (Number.isNaN(sum)) return;
  // Edge k lies between corners k and k + 1, counter-clockwise.
  const edge = [2 * n, 2 * (n + 1) + 1, 2 * (n + nx), 2 * n + 1];
  if (above === 5 || above === 10) {
    const isJoined = sum / 4 >= level;
    const low = above === 5 ? 1 : 0; // the low corners are low and low + 2
    for (const k of [0, 2]) {
      // Joined: cut off each low corner. Parted: cut off each high corner.
      const at = isJoined ? low + k : 1 - low + k;
      const before = edge[(at + 3) % 4]!;
      const after = edge[at % 4]!;
      if (isJoined) c.link(before, after);
      else c.link(after, before);
    }
    return;
  }
  let from = 0;
  let to = 0;
  for (let k = 0; k < 4; ++k) {
    const a = (above >> k) & 1;
    const b = (above >> ((k + 1) % 4)) & 1;
    if (a && !b) from = edge[k]!;
    if (!a && b) to = edge[k]!;
  }
  c.link(from, to);
}

function chains(c: Crossings): Contour[] {
  const out: Contour[] = [];
  const walk = (start: number, closed: boolean) => {
    const line: Contour = { level: c.level, points: [], closed };
    for (let edge = start; edge >= 0; ) {
      line.points.push(c.point(edge));
      const next = c.next[edge]!;
      c.next[edge] = -1;
      edge = next;
      if (edge === start) break;
    }
    out.push(line);
  };
  for (let e = 0; e < c.next.length; ++e) if (c.next[e]! >= 0 && !c.entered[e]) walk(e, false);
  for (let e = 0; e < c.next.length; ++e) if (c.next[e]! >= 0) walk(e, true);
  return out;
}

function rawContours(field: Field, level: number): Contour[] {
  const c = new Crossings(field, level);
  for (let j = 0; j + 1 < field.ny; ++j) for (let i = 0; i + 1 < field.nx; ++i) march(c, i, j);
  return chains(c);
}

/** Distance of p from the line through a and b, or from a where they are one. */
function off(p: Xy, a: Xy, b: Xy): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const length = Math.hypot(dx, dy);
  if (length === 0) return Math.hypot(p[0] - a[0], p[1] - a[1]);
  return Math.abs((p[0] - a[0]) * dy - (p[1] - a[1]) * dx) / length;
}

/** Fewer points, none of the old ones farther than `within` from the new line. O(n log n) usually. */
export function thin(points: Xy[], within = kThinning): Xy[] {
  if (points.length < 3) return points;
  const keep = new Uint8Array(points.length);
  keep[0] = keep[points.length - 1] = 1;
  const stack: [number, number][] = [[0, points.length - 1]];
  for (let top = stack.pop(); top; top = stack.pop()) {
    const [a, b] = top;
    let worst = within;
    let at = -1;
    for (let k = a + 1; k < b; ++k) {
      const d = off(points[k]!, points[a]!, points[b]!);
      if (d > worst) [worst, at] = [d, k];
    }
    if (at < 0) continue;
    keep[at] = 1;
    stack.push([a, at], [at, b]);
  }
  return points.filter((_, k) => keep[k]);
}

/** All lines of one level, joined and thinned to 0.02 mm; higher ground to the left of each. */
export function contours(grid: GapGrid, level: number): Contour[] {
  return rawContours(fieldOf(grid), level)
    .map((line) => ({ ...line, points: thin(line.points) }))
    .filter((line) => line.points.length >= 2);
}

// The field with a rim of ground far below every level, one cell out.
function rimmed(f: Field, level: number): Field {
  const [nx, ny] = [f.nx + 2, f.ny + 2];
  const z = new Float64Array(nx * ny).fill(level - 1);
  for (let j = 0; j < f.ny; ++j)
    for (let i = 0; i < f.nx; ++i) {
      const v = f.z[j * f.nx + i]!;
      z[(j + 1) * nx + i + 1] = Number.isNaN(v) ? level - 1 : v;
    }
  return { x0: f.x0 - f.step, y0: f.y0 - f.step, step: f.step, nx, ny, z };
}

/** Outline of everything at or above the level, closed along the border; fill by the even-odd rule. */
export function groundAbove(grid: GapGrid, level: number): Xy[][] {
  const f = fieldOf(grid);
  const x1 = f.x0 + (f.nx - 1) * f.step;
  const y1 = f.y0 + (f.ny - 1) * f.step;
  return rawContours(rimmed(f, level), level)
    .map((line) =>
      thin(
        line.points.map(
          ([x, y]): Xy => [Math.min(x1, Math.max(f.x0, x)), Math.min(y1, Math.max(f.y0, y))],
        ),
      ),
    )
    .filter((ring) => ring.length >= 3);
}

export interface Level {
  level: number;
  lines: Contour[];
  ground: Xy[][]; // empty for 0.25
}

/** Levels as they are drawn: 0.25, then every 0.5 mm up to 8 mm. */
export function levelsOf(grid: GapGrid): Level[] {
  let top = 0;
  for (const v of grid.mm) if (v !== null && v > top) top = v;
  const levels: Level[] = [{ level: 0.25, lines: contours(grid, 0.25), ground: [] }];
  for (let level = 0.5; level <= Math.min(top, 8); level += 0.5)
    levels.push({ level, lines: contours(grid, level), ground: groundAbove(grid, level) });
  return levels;
}

/** Gap at a place, mm, between the samples by parts; null outside the grid or where it is not known. */
export function gapAt(grid: GapGrid, x: number, y: number): number | null {
  const u = (x - grid.x0) / grid.step_mm;
  const v = (y - grid.y0) / grid.step_mm;
  if (!(u >= 0 && v >= 0 && u <= grid.nx - 1 && v <= grid.ny - 1)) return null;
  const i = Math.min(Math.floor(u), grid.nx - 2);
  const j = Math.min(Math.floor(v), grid.ny - 2);
  const at = (a: number, b: number) => grid.mm[(j + b) * grid.nx + i + a] ?? Number.NaN;
  const [s, t] = [u - i, v - j];
  const z = (1 - t) * ((1 - s) * at(0, 0) + s * at(1, 0)) + t * ((1 - s) * at(0, 1) + s * at(1, 1));
  return Number.isNaN(z) ? null : z;
}
