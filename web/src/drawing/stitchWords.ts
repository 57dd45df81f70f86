// One stitch in words: what it belongs to, where it lies, the gap there and the chance of a break.
import type { Units, View } from '../types';
import { chance, length, thousands } from '../words/figures';
import { gapAt } from './contours';
import { type Plan, stitchNumber } from './plan';

const kLayers = { under: 'under-stitching', top: 'top', lock: 'lock', travel: 'travel' } as const;
const kOps: Record<string, string> = {
  m: 'move without sewing',
  t: 'trim',
  c: 'thread change',
  p: 'stop',
  e: 'end',
};

export interface StitchWords {
  title: string; // "Stitch 1,540 of 4,802"
  object: string; // "Brass column 2.3 mm wide, round the edge"
  layer: string;
  place: string; // "3.1 mm right, 13 mm up"
  gap: string | null; // "gap 1.9 mm"
  chance: string | null; // "about 1 in 8,300"
}

export function placeWords(x: number, y: number, units: Units): string {
  const across =
    Math.abs(x) < 0.05
      ? 'on the centre line'
      : `${length(Math.abs(x), units)} ${x < 0 ? 'left' : 'right'}`;
  return `${across}, ${length(y, units)} up`;
}

/** `view` may have another ground than the plan was found with: a gap that was typed since. */
export function stitchWords(
  view: View,
  plan: Plan,
  entry: number,
  units: Units,
): StitchWords | null {
  const op = view.entries.op[entry];
  const block = view.blocks[plan.block[entry] ?? -1];
  if (!op) return null;
  const [x, y] = [view.entries.x[entry] ?? 0, view.entries.y[entry] ?? 0];
  const gap = gapAt(view.ground.gap, x, y);
  const p = view.entries.hazard[entry] ?? 0;
  return {
    title:
      op === 's'
        ? `Stitch ${thousands(stitchNumber(plan, entry))} of ${thousands(plan.stitches)}`
        : `${(kOps[op] ?? 'entry').replace(/^./, (c) => c.toUpperCase())} after stitch ${thousands(stitchNumber(plan, entry))}`,
    object: view.objects.find((o) => o.id === block?.object)?.words ?? '',
    layer: block ? kLayers[block.layer] : '',
    place: placeWords(x, y, units),
    gap: gap === null ? null : `gap ${length(gap, units)}`,
    chance: op === 's' && p > 0 ? `about ${chance(p)}` : null,
  };
}

/** The same in one sentence, for ears. */
export function stitchSentence(view: View, plan: Plan, entry: number, units: Units): string {
  const w = stitchWords(view, plan, entry, units);
  if (!w) return '';
  return [w.title, w.object, w.layer, w.place, w.gap, w.chance && `chance of a break ${w.chance}`]
    .filter(Boolean)
    .join('; ');
}
