// What the drawings ask of a plan: which entries carry thread, to what block and object each belongs,
// in what batches it is painted, and where it stands in time.
import type { Block, Shading, View } from '../types';
import { hazardClass, kHazardEdges, kTimeSteps } from './ink';

export interface Batch {
  first: number; // entries first to end - 1
  end: number;
  thread: number;
}

/** Found once for each view. */
export interface Plan {
  view: View;
  n: number;
  x: Float32Array;
  y: Float32Array;
  /** 1 where thread lies between the entry before and this one. */
  sewn: Uint8Array;
  /** By entry: its block's index. */
  block: Int32Array;
  /** Painted as one path: of one object and layer, at most 500 entries. */
  batches: Batch[];
  stitches: number;
  /** Box of all entries: x0, y0, x1, y1; null without any. */
  box: [number, number, number, number] | null;
}

const kBatch = 500; // paths of this length draw quickest

/** The top layer is painted by itself, so that its edges show over what lies beneath. */
const isAlike = (a: Block, b: Block) => (a.layer === 'top') === (b.layer === 'top');

function batchesOf(blocks: Block[], n: number): Batch[] {
  const out: Batch[] = [];
  let last: Block | undefined;
  for (const block of blocks) {
    const open = out.at(-1);
    const joins =
      open &&
      last &&
      last.object === block.object &&
      last.thread === block.thread &&
      (isAlike(last, block) || block.layer === 'lock') &&
      open.end === block.first;
    let first = block.first;
    const end = Math.min(block.first + block.count, n);
    if (joins && open.end - open.first < kBatch) {
      open.end = Math.min(end, open.first + kBatch);
      first = open.end;
    }
    for (; first < end; first += kBatch)
      out.push({ first, end: Math.min(end, first + kBatch), thread: block.thread });
    last = block;
  }
  return out;
}

function boxOf(x: Float32Array, y: Float32Array): Plan['box'] {
  if (!x.length) return null;
  const box: Plan['box'] = [x[0]!, y[0]!, x[0]!, y[0]!];
  for (let i = 1; i < x.length; ++i) {
    box[0] = Math.min(box[0], x[i]!);
    box[1] = Math.min(box[1], y[i]!);
    box[2] = Math.max(box[2], x[i]!);
    box[3] = Math.max(box[3], y[i]!);
  }
  return box;
}

const known = new WeakMap<object, Plan>();

/** O(entries) the first time, then kept as long as the view's entries are. */
export function planOf(view: View): Plan {
  const held = known.get(view.entries);
  if (held && held.view.blocks === view.blocks) return held;
  const { op } = view.entries;
  const n = op.length;
  const x = Float32Array.from(view.entries.x);
  const y = Float32Array.from(view.entries.y);
  const sewn = new Uint8Array(n);
  let stitches = 0;
  for (let i = 0; i < n; ++i) {
    if (op[i] !== 's') continue;
    ++stitches;
    if (i > 0 && op[i - 1] === 's') sewn[i] = 1;
  }
  const block = new Int32Array(n).fill(-1);
  view.blocks.forEach((b, k) => {
    block.fill(k, b.first, b.first + b.count);
  });
  const batches = batchesOf(view.blocks, n);
  const plan: Plan = { view, n, x, y, sewn, block, batches, stitches, box: boxOf(x, y) };
  known.set(view.entries, plan);
  return plan;
}

/** Step of the shade of each entry: a hazard class 0 to 5, or a step of time 0 to 7. */
export function shadeSteps(plan: Plan, shading: Exclude<Shading, 'threads'>): Uint8Array {
  const steps = new Uint8Array(plan.n);
  const { hazard, time_s } = plan.view.entries;
  const all = time_s.at(-1) ?? 0;
  const most = kTimeSteps.length - 1;
  for (let i = 0; i < plan.n; ++i) {
    if (shading === 'hazard') steps[i] = hazardClass(hazard[i] ?? 0);
    else steps[i] = all > 0 ? Math.min(most, Math.floor(((time_s[i] ?? 0) / all) * (most + 1))) : 0;
  }
  return steps;
}

/** Entries in the two worst classes, rising: painted again over the rest. At most 4,000. */
export function hottest(plan: Plan): Int32Array {
  const { hazard } = plan.view.entries;
  const hot: number[] = [];
  for (let i = 0; i < plan.n; ++i)
    if (plan.sewn[i] && (hazard[i] ?? 0) >= kHazardEdges[3]) hot.push(i);
  hot.sort((a, b) => (hazard[a] ?? 0) - (hazard[b] ?? 0));
  return Int32Array.from(hot.slice(-4000));
}

/** The last entry that has begun at `seconds`; 0 before the start, n - 1 after the end. */
export function entryAt(timeline: readonly number[], seconds: number): number {
  let low = 0;
  let high = Math.max(0, timeline.length - 1);
  while (low < high) {
    const mid = (low + high) >> 1;
    if (timeline[mid]! < seconds) low = mid + 1;
    else high = mid;
  }
  return low;
}

/** The next entry at which the needle goes down, from `entry` on in steps of `by`; `entry` if none. */
export function nextStitch(plan: Plan, entry: number, by: 1 | -1): number {
  const { op } = plan.view.entries;
  for (let i = entry + by; i >= 0 && i < plan.n; i += by) if (op[i] === 's') return i;
  return entry;
}

/** The first entry of the block after (or, at its start, before) the one that `entry` lies in. */
export function nextBlock(plan: Plan, entry: number, by: 1 | -1): number {
  const k = plan.block[entry] ?? -1;
  const blocks = plan.view.blocks;
  if (k < 0) return entry;
  if (by > 0) return blocks[k + 1]?.first ?? plan.n - 1;
  const first = blocks[k]!.first;
  return entry > first ? first : (blocks[k - 1]?.first ?? 0);
}

/** Which stitch this is, counted from 1: needle-downs up to and with the entry. */
export function stitchNumber(plan: Plan, entry: number): number {
  const { op } = plan.view.entries;
  let k = 0;
  for (let i = 0; i <= entry && i < plan.n; ++i) if (op[i] === 's') ++k;
  return k;
}
