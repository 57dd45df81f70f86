// The land's colour: paper, or the cap's cloth, paler, when a thread that lies on bare land could not
// be told from paper.
import { contrast, kPaper, mix } from './ink';
import type { Plan } from './plan';

const kLeastContrast = 1.25;
const kBareShare = 0.3;

/** Share of this thread's places that no other thread covers, on cells of 1 mm. */
function bareShare(plan: Plan, thread: number): number {
  const own = new Set<number>();
  const others = new Set<number>();
  for (const block of plan.view.blocks)
    for (let i = Math.max(1, block.first); i < block.first + block.count && i < plan.n; ++i) {
      if (!plan.sewn[i]) continue;
      const x = Math.floor((plan.x[i - 1]! + plan.x[i]!) / 2);
      const y = Math.floor((plan.y[i - 1]! + plan.y[i]!) / 2);
      (block.thread === thread ? own : others).add((x + 1000) * 4000 + y + 1000);
    }
  let bare = 0;
  for (const cell of own) if (!others.has(cell)) ++bare;
  return own.size ? bare / own.size : 0;
}

export function landColour(plan: Plan, cloth: string): string {
  const isHidden = plan.view.threads.some(
    (thread, t) =>
      contrast(thread.rgb, kPaper) < kLeastContrast && bareShare(plan, t) >= kBareShare,
  );
  return isHidden ? mix(kPaper, cloth, 0.28) : kPaper;
}
