import { expect, test } from 'vitest';
import type { GapGrid } from '../types';
import { contours, gapAt, groundAbove, levelsOf, thin } from './contours';

function gridOf(f: (x: number, y: number) => number | null, n = 81, step = 0.5): GapGrid {
  const mm: (number | null)[] = [];
  const at = -((n - 1) * step) / 2;
  for (let j = 0; j < n; ++j) for (let i = 0; i < n; ++i) mm.push(f(at + i * step, at + j * step));
  return { x0: at, y0: at, step_mm: step, nx: n, ny: n, mm };
}

const area = (ring: readonly (readonly [number, number])[]) => {
  let twice = 0;
  ring.forEach(([x, y], k) => {
    const [u, v] = ring[(k + 1) % ring.length]!;
    twice += x * v - u * y;
  });
  return twice / 2;
};

test('a plane is met exactly: straight lines at their level, higher ground to the left', () => {
  // z = (3 x + 4 y) / 5: the line at level c is 3 x + 4 y = 5 c.
  const lines = contours(
    gridOf((x, y) => (3 * x + 4 * y) / 5),
    2.25,
  );
  expect(lines).toHaveLength(1);
  const { points, closed } = lines[0]!;
  expect(closed).toBe(false);
  expect(points.length).toBeLessThan(4); // thinned to its ends
  for (const [x, y] of points) expect((3 * x + 4 * y) / 5).toBeCloseTo(2.25, 9);
  const [a, b] = [points[0]!, points.at(-1)!];
  const leftward = [-(b[1] - a[1]), b[0] - a[0]] as const;
  expect(3 * leftward[0] + 4 * leftward[1]).toBeGreaterThan(0);
});

test('a cone gives circles: length 2 pi r, area pi r squared, one closed line', () => {
  // z = 10 - r: the level 10 - r is a circle of radius r; linear pieces lie within the sag
  // step squared / 8 r of it.
  const grid = gridOf((x, y) => 10 - Math.hypot(x, y));
  for (const r of [3, 6.2, 9.7]) {
    const lines = contours(grid, 10 - r);
    expect(lines).toHaveLength(1);
    expect(lines[0]!.closed).toBe(true);
    const sag = (0.5 * 0.5) / (8 * r) + 0.02;
    for (const [x, y] of lines[0]!.points) expect(Math.abs(Math.hypot(x, y) - r)).toBeLessThan(sag);
    // Higher ground, the inside, lies to the left: counter-clockwise.
    expect(area(lines[0]!.points)).toBeGreaterThan(0);
    expect(area(lines[0]!.points)).toBeCloseTo(Math.PI * r * r, -0.3);
  }
});

test('ground above a level has the area of its closed form, and is closed along the border', () => {
  const grid = gridOf((x, y) => 10 - Math.hypot(x, y));
  const rings = groundAbove(grid, 4);
  const whole = rings.reduce((sum, ring) => sum + Math.abs(area(ring)), 0);
  expect(Math.abs(whole - Math.PI * 36) / (Math.PI * 36)).toBeLessThan(0.004);
  // x > 0 over a square of 40 mm: half of it.
  const half = groundAbove(
    gridOf((x) => x),
    0.0001,
  );
  expect(half).toHaveLength(1);
  expect(Math.abs(area(half[0]!))).toBeCloseTo(800, 0);
});

test('a saddle is joined where the mean of its corners is above the level', () => {
  const saddle = (mid: number): GapGrid => ({
    x0: 0,
    y0: 0,
    step_mm: 1,
    nx: 2,
    ny: 2,
    mm: [1 + mid, mid - 1, mid - 1, 1 + mid],
  });
  // Corners at 1.2, -0.8, 1.2, -0.8 about level 0: two lines either way; joined, each cuts off a low
  // corner.
  for (const [mid, isJoined] of [
    [0.2, true],
    [-0.2, false],
  ] as const) {
    const lines = contours(saddle(mid), 0);
    expect(lines).toHaveLength(2);
    const low = isJoined ? [1, 0] : [0, 0]; // a corner that must be cut off alone
    const isCut = lines.some(({ points }) =>
      points.every(([x, y]) => Math.hypot(x - low[0]!, y - low[1]!) <= 1),
    );
    expect(isCut).toBe(true);
  }
});

test('an unknown corner carries no line and breaks none beside it', () => {
  const grid = gridOf((x, y) => (Math.hypot(x - 5, y) < 2 ? null : y));
  const lines = contours(grid, 0.1);
  for (const { points } of lines)
    for (const [x, y] of points) {
      expect(y).toBeCloseTo(0.1, 6);
      expect(Math.abs(x - 5)).toBeGreaterThan(1.4);
    }
  expect(lines.length).toBe(2);
});

test('every gap within a level’s ground is at least that level', () => {
  const grid = gridOf((x, y) => 3 * Math.exp(-(y + 20) / 12) + 0.6 * Math.exp(-((x / 7) ** 2)));
  const levels = levelsOf(grid);
  expect(levels.map((l) => l.level).slice(0, 4)).toEqual([0.25, 0.5, 1, 1.5]);
  let seen = 0;
  for (const { level, lines } of levels)
    for (const { points } of lines)
      for (const [x, y] of points) {
        expect(Math.abs(gapAt(grid, x, y)! - level)).toBeLessThan(0.03);
        ++seen;
      }
  expect(seen).toBeGreaterThan(100);
});

test('gap between samples: exact on a bilinear field, null outside', () => {
  const grid = gridOf((x, y) => 2 + 0.1 * x - 0.2 * y + 0.03 * x * y);
  for (const [x, y] of [
    [0.13, 7.41],
    [-19.99, 3.2],
    [20, 20],
  ] as const)
    expect(gapAt(grid, x, y)).toBeCloseTo(2 + 0.1 * x - 0.2 * y + 0.03 * x * y, 9);
  expect(gapAt(grid, 20.1, 0)).toBeNull();
});

test('thinning keeps every point within its bound', () => {
  const arc = Array.from({ length: 200 }, (_, k): [number, number] => [
    10 * Math.cos(k / 60),
    10 * Math.sin(k / 60),
  ]);
  const few = thin(arc, 0.02);
  expect(few.length).toBeLessThan(60);
  for (const [x, y] of few) expect(Math.hypot(x, y)).toBeCloseTo(10, 9);
  // A chord's sag is r (1 - cos (angle / 2)).
  for (let k = 1; k < few.length; ++k) {
    const [a, b] = [few[k - 1]!, few[k]!];
    const angle = 2 * Math.asin(Math.hypot(b[0] - a[0], b[1] - a[1]) / 20);
    expect(10 * (1 - Math.cos(angle / 2))).toBeLessThanOrEqual(0.0201);
  }
});
