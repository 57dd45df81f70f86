import { expect, test } from 'vitest';
import { trialView } from '../../bench/trial';
import { makeFinder } from './nearest';
import { entryAt, nextBlock, nextStitch, planOf, shadeSteps, stitchNumber } from './plan';
import { seeded } from './stipple';

const view = trialView(5000);
const plan = planOf(view);

test('batches hold every entry once, in order, at most 500, of one thread', () => {
  let at = 0;
  for (const batch of plan.batches) {
    expect(batch.first).toBe(at);
    expect(batch.end - batch.first).toBeLessThanOrEqual(500);
    for (let i = batch.first; i < batch.end; ++i)
      expect(view.blocks[plan.block[i]!]!.thread).toBe(batch.thread);
    at = batch.end;
  }
  expect(at).toBe(plan.n);
});

test('thread lies only between two needle-downs in a row', () => {
  const { op } = view.entries;
  let threaded = 0;
  for (let i = 0; i < plan.n; ++i) {
    expect(plan.sewn[i] === 1).toBe(i > 0 && op[i] === 's' && op[i - 1] === 's');
    threaded += plan.sewn[i]!;
  }
  expect(threaded).toBe(5000 - view.blocks.length); // each block begins with a bare needle-down
  expect(plan.stitches).toBe(5000);
});

test('the entry at a time is the first that ends there or later', () => {
  const { time_s } = view.entries;
  expect(entryAt(time_s, -1)).toBe(0);
  expect(entryAt(time_s, 1e9)).toBe(plan.n - 1);
  const random = seeded(5);
  for (let k = 0; k < 200; ++k) {
    const t = random() * view.time_s;
    const i = entryAt(time_s, t);
    expect(time_s[i]!).toBeGreaterThanOrEqual(t);
    if (i > 0) expect(time_s[i - 1]!).toBeLessThan(t);
  }
});

test('steps by a stitch and by a block', () => {
  expect(nextStitch(plan, 0, 1)).toBe(1);
  expect(nextStitch(plan, 0, -1)).toBe(0);
  const second = view.blocks[1]!.first;
  expect(nextStitch(plan, second - 2, 1)).toBe(second); // over the trim or change
  expect(nextBlock(plan, 5, 1)).toBe(second);
  expect(nextBlock(plan, second + 3, -1)).toBe(second);
  expect(nextBlock(plan, second, -1)).toBe(0);
  expect(stitchNumber(plan, second)).toBe(1001);
});

test('the stitch seen at a place: the same as by looking at every stitch', () => {
  const finder = makeFinder(plan);
  const random = seeded(9);
  const far = (i: number, x: number, y: number) => {
    const [bx, by] = [plan.x[i]!, plan.y[i]!];
    if (!plan.sewn[i]) return Math.hypot(x - bx, y - by);
    const [ax, ay] = [plan.x[i - 1]!, plan.y[i - 1]!];
    const l2 = (bx - ax) ** 2 + (by - ay) ** 2;
    const t = l2 ? Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / l2)) : 0;
    return Math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay));
  };
  let hits = 0;
  let covered = 0;
  for (let k = 0; k < 150; ++k) {
    const [x, y] = [-48 + 68 * random(), 11 + 18 * random()];
    let least = Infinity;
    let top = -1; // of those that cover the place
    for (let i = 0; i < plan.n; ++i) {
      if (view.entries.op[i] !== 's') continue;
      least = Math.min(least, far(i, x, y));
      if (far(i, x, y) <= 0.21) top = i;
    }
    const found = finder.nearest(x, y, 3);
    if (least >= 3) {
      expect(found).toBeNull();
      continue;
    }
    ++hits;
    if (top >= 0) expect(found).toBe(top);
    else expect(far(found!, x, y)).toBeCloseTo(least, 6);
    if (top >= 0) ++covered;
  }
  expect(hits).toBeGreaterThan(50);
  expect(covered).toBeGreaterThan(15);
});

test('shades: hazard by fixed classes, time from first to last step', () => {
  const hazard = shadeSteps(plan, 'hazard');
  view.entries.hazard.forEach((p, i) => {
    if (p < 1e-7) expect(hazard[i]).toBe(0);
    if (p >= 1.2e-4) expect(hazard[i]).toBe(5);
  });
  const time = shadeSteps(plan, 'time');
  expect(time[0]).toBe(0);
  expect(time[plan.n - 1]).toBe(7);
  for (let i = 1; i < plan.n; ++i) expect(time[i]!).toBeGreaterThanOrEqual(time[i - 1]!);
});
