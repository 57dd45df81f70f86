import { expect, test } from 'vitest';
import { trialView } from '../../bench/trial';
import { planOf } from '../drawing/plan';
import { restartAt } from './goBack';

const view = trialView(3000);
const plan = planOf(view);

test('goes back at least six stitches and 12 mm where the thread is long enough', () => {
  const restart = restartAt(plan, 700)!;
  expect(restart.stitch).toBe(701);
  expect(restart.block).toBe(1);
  expect(restart.needle).toBe(1);
  expect(restart.stitch - restart.backStitch).toBeGreaterThanOrEqual(6);
  let mm = 0;
  for (let i = restart.backTo + 1; i <= restart.entry; ++i)
    mm += Math.hypot(plan.x[i]! - plan.x[i - 1]!, plan.y[i]! - plan.y[i - 1]!);
  expect(mm).toBeGreaterThanOrEqual(12);
});

test('never goes back over a cut or a change of thread', () => {
  const second = view.blocks[1]!.first;
  for (const into of [0, 1, 3, 5]) {
    const restart = restartAt(plan, second + into)!;
    expect(restart.backTo).toBe(second);
    expect(restart.block).toBe(2);
  }
});

test('a place that is no stitch stands for the nearest before it', () => {
  const second = view.blocks[1]!.first;
  expect(view.entries.op[second - 1]).not.toBe('s');
  expect(restartAt(plan, second - 1)!.entry).toBe(second - 2);
});
