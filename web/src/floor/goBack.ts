// After a stop: which stitch and block the tapped place belongs to, and how far to go back so that the
// new thread is held. The same rule as the server's log (docs/api.md, "Floor").
import { type Plan, stitchNumber } from '../drawing/plan';

/** Both: common practice, no source. */
const kBackStitches = 6;
const kBackMm = 12;

export interface Restart {
  entry: number; // of the stitch
  stitch: number; // counted from 1
  block: number; // counted from 1
  needle: number;
  part: string;
  backTo: number; // entry
  backStitch: number;
}

/** For an entry that is no stitch, the nearest before it; null without any. */
export function restartAt(plan: Plan, entry: number): Restart | null {
  const { op } = plan.view.entries;
  let at = Math.min(entry, plan.n - 1);
  while (at > 0 && op[at] !== 's') --at;
  if (op[at] !== 's') return null;
  let chain = at; // where the thread began since it was last cut
  while (chain > 0 && plan.sewn[chain]) --chain;
  let back = at;
  for (let mm = 0; back > chain && (at - back < kBackStitches || mm < kBackMm); --back)
    mm += Math.hypot(plan.x[back]! - plan.x[back - 1]!, plan.y[back]! - plan.y[back - 1]!);
  const k = plan.block[at] ?? -1;
  const block = plan.view.blocks[k];
  return {
    entry: at,
    stitch: stitchNumber(plan, at),
    block: k + 1,
    needle: plan.view.threads[block?.thread ?? -1]?.needle ?? 0,
    part: plan.view.objects.find((o) => o.id === block?.object)?.words ?? 'Stitches',
    backTo: back,
    backStitch: stitchNumber(plan, back),
  };
}
