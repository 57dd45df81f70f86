// The job along time: expected breaks by slice of time, smoothed a little, with the worst class met in
// each; stays at one thread; the speed as it changes.
import type { View } from '../types';
import { hazardClass } from './ink';

export interface Profile {
  /** Expected breaks in each slice, a cap. */
  height: Float64Array;
  /** Worst hazard class 0 to 5 met in the slice, -1 where no needle goes down. */
  worst: Int8Array;
  top: number;
}

const kKernel = [1, 2, 3, 2, 1]; // of 9

/** `hazard` is by entry; the sum over slices is the sum over entries, but for what smooths off the ends. */
export function profileOf(
  hazard: readonly number[],
  timeline: readonly number[],
  slices: number,
): Profile {
  const raw = new Float64Array(slices);
  const worst = new Int8Array(slices).fill(-1);
  const seconds = timeline.at(-1) ?? 0;
  for (let i = 0; i < Math.min(hazard.length, timeline.length); ++i) {
    const p = hazard[i]!;
    if (!(p > 0) || !(seconds > 0)) continue;
    const k = Math.min(slices - 1, Math.floor((timeline[i]! / seconds) * slices));
    raw[k]! += p;
    worst[k] = Math.max(worst[k]!, hazardClass(p));
  }
  const height = new Float64Array(slices);
  let top = 0;
  for (let k = 0; k < slices; ++k) {
    for (let j = -2; j <= 2; ++j) height[k]! += ((kKernel[j + 2] ?? 0) / 9) * (raw[k + j] ?? 0);
    top = Math.max(top, height[k]!);
  }
  // A slice without a needle that smoothing gave some height takes its neighbours' class.
  const own = worst.slice();
  for (let k = 0; k < slices; ++k)
    for (let j = -2; j <= 2 && own[k]! < 0; ++j) worst[k] = Math.max(worst[k]!, own[k + j] ?? -1);
  return { height, worst, top };
}

/** Height is the square root of hazard, so that small peaks stay visible: 0 to 1 of `top`. */
export const heightShare = (value: number, top: number) =>
  top > 0 ? Math.sqrt(Math.min(1, Math.max(0, value / top))) : 0;

export interface Visit {
  thread: number;
  from_s: number;
  to_s: number;
}

/** Stays at one thread, in sewing order. */
export function visitsOf(view: View): Visit[] {
  const out: Visit[] = [];
  const { time_s } = view.entries;
  for (const block of view.blocks) {
    const from_s = block.first > 0 ? (time_s[block.first - 1] ?? 0) : 0;
    const to_s = time_s[block.first + block.count - 1] ?? from_s;
    const last = out.at(-1);
    if (last?.thread === block.thread) last.to_s = to_s;
    else out.push({ thread: block.thread, from_s, to_s });
  }
  return out;
}

export interface SpeedStep {
  from_s: number;
  to_s: number;
  spm: number;
}

/** Speeds in order, equal neighbours joined; one step where it never changes. */
export function speedsOf(view: View): SpeedStep[] {
  const out: SpeedStep[] = [];
  const { time_s } = view.entries;
  for (const block of view.blocks) {
    const from_s = block.first > 0 ? (time_s[block.first - 1] ?? 0) : 0;
    const to_s = time_s[block.first + block.count - 1] ?? from_s;
    const last = out.at(-1);
    if (last?.spm === block.speed_spm) last.to_s = to_s;
    else out.push({ from_s, to_s, spm: block.speed_spm });
  }
  return out;
}

/** Seconds between ticks of the axis so that at most `most` stand on it. */
export function tickStep(seconds: number, most: number): number {
  const steps = [10, 30, 60, 120, 300, 600, 1800, 3600, 7200];
  return steps.find((s) => seconds / s <= most) ?? 14400;
}

/** "6 min 10 s" */
export function minutesAndSeconds(seconds: number): string {
  const all = Math.round(seconds);
  const [m, s] = [Math.floor(all / 60), all % 60];
  if (m === 0) return `${s} s`;
  return s === 0 ? `${m} min` : `${m} min ${s} s`;
}
