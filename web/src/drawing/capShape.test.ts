import { expect, test } from 'vitest';
import { trialView } from '../../bench/trial';
import type { CapShape as CapData } from '../types';
import { CapShape, HeadEllipse, panelAngles, unit } from './capShape';
import { planOf } from './plan';
import { ribbonsOf } from './ribbons';

const cap = (profile: [number, number, number][], head_ratio = 1): CapData => ({
  title: '',
  has_seam: true,
  profile,
  arc_to_button_mm: profile.at(-1)![0],
  eyelets: [],
  bill: {},
  head_ratio,
  rgb: '#888888',
});

const kLean = 0.3;
/** A cone: radius 90 at the seam, leaning by 0.3 rad. */
const cone = new CapShape(
  cap([0, 50, 100].map((s) => [s, 90 - s * Math.sin(kLean), s * Math.cos(kLean)])),
);
/** A hemisphere of radius 92, by every 2 mm of arc. */
const kR = 92;
const hemisphere = new CapShape(
  cap(
    Array.from({ length: 73 }, (_, k) => [
      2 * k,
      kR * Math.cos((2 * k) / kR),
      kR * Math.sin((2 * k) / kR),
    ]),
  ),
);

const far = (a: number[], b: number[]) => Math.hypot(a[0]! - b[0]!, a[1]! - b[1]!, a[2]! - b[2]!);

test('cone: places, lean and normals are those of the closed form', () => {
  for (const [x, y] of [
    [0, 0],
    [30, 20],
    [-55, 77],
  ] as const) {
    const r = 90 - y * Math.sin(kLean);
    const a = x / r;
    expect(
      far(cone.onChart(x, y), [r * Math.sin(a), y * Math.cos(kLean), r * Math.cos(a)]),
    ).toBeLessThan(1e-6);
    const n = [Math.sin(a) * Math.cos(kLean), Math.sin(kLean), Math.cos(a) * Math.cos(kLean)];
    expect(far(cone.normal(a, y), n)).toBeLessThan(1e-6);
  }
});

test('hemisphere: every place lies on the sphere, normals point from its middle', () => {
  for (const [x, y] of [
    [0, 10],
    [40, 33],
    [-20, 88],
  ] as const) {
    const p = hemisphere.onChart(x, y);
    expect(Math.abs(Math.hypot(...p) - kR)).toBeLessThan(0.006); // sag of a chord: 2 squared / 8 R
    const n = hemisphere.normal(hemisphere.angle(x, y), y);
    expect(far(n, unit(p))).toBeLessThan(0.03);
    expect(Math.abs(Math.hypot(...hemisphere.onChart(x, y, 3)) - kR - 3)).toBeLessThan(0.02);
  }
});

test('the chart’s x is arc along the parallel', () => {
  const y = 40;
  let length = 0;
  for (let k = 0; k < 500; ++k)
    length += far(hemisphere.onChart(k * 0.1, y), hemisphere.onChart(k * 0.1 + 0.1, y));
  expect(length).toBeCloseTo(50, 2);
});

test('head ellipse: the same length round as the circle, axes in their ratio', () => {
  const head = new HeadEllipse(1.161);
  expect(head.along / head.across).toBeCloseTo(1.161, 9);
  // Perimeter by Ramanujan's second formula (Modular equations and approximations to pi, 1914).
  const [a, b] = [head.along, head.across];
  const h = ((a - b) / (a + b)) ** 2;
  const round = Math.PI * (a + b) * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h)));
  expect(round).toBeCloseTo(2 * Math.PI, 5);
  // Even angles are even lengths.
  const at = (s: number) => [a * Math.cos(head.parameter(s)), b * Math.sin(head.parameter(s)), 0];
  for (let s = -3; s < 3; s += 0.37) expect(far(at(s), at(s + 0.01))).toBeCloseTo(0.01, 4);
});

test('the bill hangs on the crown’s seam and falls from it', () => {
  for (const t of [-0.8, 0, 0.4]) {
    expect(far(cone.bill(t, 0), cone.crown((t * 74 * Math.PI) / 180, 0))).toBeLessThan(1e-9);
    expect(cone.bill(t, 1)[1]).toBeLessThan(cone.bill(t, 0)[1]);
    expect(cone.bill(t, 1)[2]).toBeGreaterThan(cone.bill(t, 0)[2]);
  }
});

const degrees = (angles: number[]) => angles.map((a) => Math.round((a * 180) / Math.PI));

test('seams: one up the front of six panels; five stand where the six do, but for the front', () => {
  const six = cap([[0, 90, 0]]);
  expect(degrees(panelAngles(six, () => 90).seams)).toEqual([0, 60, 120, 180, 240, 300]);
  const five = { ...six, has_seam: false, panels: 5 };
  expect(degrees(panelAngles(five, () => 90).seams)).toEqual([60, 120, 180, 240, 300]);
});

test('eyelets: where the file has them, then one in each panel behind the front', () => {
  const bare = { ...cap([[0, 90, 0]]), eyelets: [] };
  expect(degrees(panelAngles(bare, () => 90).eyelets)).toEqual([30, 90, 150, 210, 270, 330]);
  const own = {
    ...bare,
    eyelets: [
      [-40, 100, 6],
      [40, 100, 6],
    ] as [number, number, number][],
  };
  expect(degrees(panelAngles(own, () => 80).eyelets)).toEqual([-29, 29, 90, 150, 210, 270]);
  const onePiece = { ...bare, has_seam: false, panels: 5 };
  expect(degrees(panelAngles(onePiece, () => 90).eyelets)).toEqual([90, 150, 210, 270]);
});

test('ribbons: four corners a stitch, six indices, counted up to each entry, as wide as thread', () => {
  const view = trialView(2500);
  const plan = planOf(view);
  const ribbons = ribbonsOf(plan, hemisphere);
  const threaded = plan.sewn.reduce((sum, v) => sum + v, 0);
  expect(threaded).toBe(2500 - view.blocks.length);
  expect(ribbons.count).toBe(threaded);
  expect(ribbons.position).toHaveLength(12 * threaded);
  expect(ribbons.index).toHaveLength(6 * threaded);
  expect(ribbons.upTo.at(-1)).toBe(threaded);
  expect(Math.max(...ribbons.index.slice(-6))).toBe(4 * threaded - 1);
  for (const k of [0, 700, threaded - 1]) {
    const p = (c: number) => Array.from(ribbons.position.slice(12 * k + 3 * c, 12 * k + 3 * c + 3));
    expect(far(p(0), p(1))).toBeCloseTo(0.46, 3);
    const out = Math.hypot(...(p(0) as [number, number, number]));
    expect(out).toBeGreaterThan(kR + 0.25);
    expect(out).toBeLessThan(kR + 0.7);
  }
});
