import { expect, test } from 'vitest';
import { trialView } from '../../bench/trial';
import {
  heightShare,
  minutesAndSeconds,
  profileOf,
  speedsOf,
  tickStep,
  visitsOf,
} from './runProfile';

test('the profile keeps the sum of hazard, and the place of a peak', () => {
  const timeline = Array.from({ length: 1000 }, (_, i) => i + 1);
  const hazard = timeline.map((t) => (t === 500 ? 2e-4 : t % 2 ? 1e-7 : 0));
  const profile = profileOf(hazard, timeline, 100);
  const sum = (values: Iterable<number>) => [...values].reduce((a, b) => a + b, 0);
  // Smoothing takes 4/9 of what two slices at each end hold off the strip.
  expect(sum(profile.height)).toBeCloseTo(sum(hazard), 6);
  expect(profile.height.indexOf(profile.top)).toBe(50);
  expect(profile.worst[50]).toBe(5);
  expect(profile.worst[10]).toBe(1);
});

test('height is the square root: a quarter of the hazard stands at half height', () => {
  expect(heightShare(0.25, 1)).toBe(0.5);
  expect(heightShare(2, 1)).toBe(1);
  expect(heightShare(1, 0)).toBe(0);
});

test('stays at a thread follow on one another over the whole time', () => {
  const view = trialView(6000);
  const visits = visitsOf(view);
  expect(visits[0]!.from_s).toBe(0);
  expect(visits.at(-1)!.to_s).toBe(view.time_s);
  for (let k = 1; k < visits.length; ++k) {
    expect(visits[k]!.from_s).toBe(visits[k - 1]!.to_s);
    expect(visits[k]!.thread).not.toBe(visits[k - 1]!.thread);
  }
});

test('speed: one step while it does not change', () => {
  const view = trialView(4000);
  expect(speedsOf(view)).toHaveLength(1);
  const slower = view.blocks.map((b, k) => (k === 1 ? { ...b, speed_spm: 600 } : b));
  const steps = speedsOf({ ...view, blocks: slower });
  expect(steps.map((s) => s.spm)).toEqual([700, 600, 700]);
});

test('ticks of the axis never crowd; minutes and seconds', () => {
  for (const seconds of [8, 95, 640, 5000, 90000])
    expect(seconds / tickStep(seconds, 14)).toBeLessThanOrEqual(14);
  expect(minutesAndSeconds(370)).toBe('6 min 10 s');
  expect(minutesAndSeconds(59.6)).toBe('1 min');
  expect(minutesAndSeconds(42)).toBe('42 s');
});
