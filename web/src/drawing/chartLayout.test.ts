import { expect, test } from 'vitest';
import { trialView } from '../../bench/trial';
import type { View, WorstPlace } from '../types';
import { fitted, toPx } from './camera';
import { carry, type LayoutInput, layOut } from './chartLayout';
import { levelsOf } from './contours';
import { labelBox, meets } from './lettering';
import { planOf } from './plan';
import { sewnLand } from './sewnLand';
import { seeded } from './stipple';
import { stitchSentence, stitchWords } from './stitchWords';

// Half an em a letter, as faces of text run (estimate).
const measure: LayoutInput['measure'] = (words, type) =>
  words.length * (0.52 + (type.tracking ?? 0)) * type.px;

const design = trialView(1000);
const land = sewnLand(planOf(design));
const levels = levelsOf(design.ground.gap);

function inputOf(view: View, width: number, hasWords: boolean): LayoutInput {
  const [x0, y0, x1, y1] = view.ground.window;
  const plan = planOf(view);
  const height = (width * (y1 - y0)) / (x1 - x0);
  return {
    view,
    plan,
    land,
    levels,
    camera: fitted({ x0, y0, x1, y1 }, width, height),
    units: 'mm',
    measure,
    hasWords,
    hasMarks: true,
    hasWorst: true,
    hasScaleBar: false,
  };
}

/** Six worst places at random on a small design; the same each time for one seed. */
function viewWith(seed: number): View {
  const view = design;
  const random = seeded(seed);
  const worst = [1, 2, 3, 4, 5, 6].map((number): WorstPlace => {
    const entry = Math.floor(random() * 1000);
    const [x_mm, y_mm] = [view.entries.x[entry]!, view.entries.y[entry]!];
    return { ...view.worst[0]!, number, entry, x_mm, y_mm };
  });
  return { ...view, worst };
}

test('every worst place gets one disc, in sight, and no disc or words lie on others', () => {
  let worded = 0;
  for (let seed = 1; seed <= 12; ++seed) {
    const input = inputOf(viewWith(seed), seed % 2 ? 975 : 500, seed % 3 > 0);
    const { callouts, camera } = layOut(input);
    expect(callouts.map((c) => c.place.number)).toEqual([1, 2, 3, 4, 5, 6]);
    const boxes = callouts.map((c) => [
      { x0: c.pin[0] - 8.5, y0: c.pin[1] - 8.5, x1: c.pin[0] + 8.5, y1: c.pin[1] + 8.5 },
      ...c.labels.map((l) => labelBox(l, measure)),
    ]);
    const wrong = boxes.flatMap((own, k) =>
      own.filter(
        (box) =>
          box.x0 < -1 ||
          box.x1 > camera.width + 1 ||
          boxes.slice(k + 1).some((others) => others.some((other) => meets(box, other, 0))),
      ),
    );
    expect(wrong, `seed ${seed}`).toEqual([]);
    worded += callouts.filter((c) => c.labels.length).length;
  }
  expect(worded).toBeGreaterThan(20);
});

test('names and figures keep off one another and off measured gaps', () => {
  const input = inputOf(viewWith(3), 975, true);
  const { names } = layOut(input);
  expect(names.some((l) => l.words.startsWith('the foot cannot reach'))).toBe(true);
  expect(names.some((l) => l.words === 'A 2.2')).toBe(true);
  expect(names.filter((l) => l.look === 'level').length).toBeGreaterThan(4);
  const boxes = names.map((l) => labelBox(l, measure));
  boxes.forEach((box, k) => {
    for (const other of boxes.slice(k + 1)) expect(meets(box, other, 0)).toBe(false);
  });
});

test('figures on contours stand where the gap has that figure', () => {
  const input = inputOf(viewWith(4), 975, true);
  const { names, camera } = layOut(input);
  const figures = names.filter((l) => l.look === 'level');
  for (const label of figures) {
    const turn = ((label.turn ?? 0) * Math.PI) / 180;
    // From the base line back to the line that the figures stand on.
    const px = label.x + Math.sin(turn) * 0.34 * 10.5;
    const py = label.y - Math.cos(turn) * 0.34 * 10.5;
    const near = input.levels
      .find((l) => l.level === Number(label.words))!
      .lines.flatMap((line) => line.points.map((p) => toPx(camera, ...p)))
      .reduce((least, [x, y]) => Math.min(least, Math.abs(y - py) + Math.abs(x - px) / 30), 1e9);
    expect(near).toBeLessThan(4);
  }
});

test('words go with their places while the chart moves', () => {
  const a = fitted({ x0: -60, y0: 0, x1: 60, y1: 80 }, 960, 640);
  const b = { ...a, scale: a.scale * 2.5, x: 11, y: 44 };
  expect(carry(a, b)(toPx(a, 7, 33))).toEqual(toPx(b, 7, 33).map((v) => expect.closeTo(v, 9)));
});

test('a stitch in words: number, object, layer, place, gap, chance', () => {
  const view = trialView(2000);
  const plan = planOf(view);
  const words = stitchWords(view, plan, 1540, 'mm')!;
  expect(words.title).toBe('Stitch 1,540 of 2,000'); // entry 1000 changes the thread
  expect(words.object).toBe('Patch 2');
  expect(words.layer).toBe('top');
  expect(words.chance).toMatch(/^about 1 in [\d,]+/);
  // A typed gap brings another ground to the same stitches.
  const flat = { ...view.ground.gap, mm: view.ground.gap.mm.map(() => 0.4) };
  const typed = { ...view, ground: { ...view.ground, gap: flat } };
  expect(stitchWords(typed, plan, 1540, 'mm')!.gap).toBe('gap 0.4 mm');
  expect(stitchWords(view, plan, 1000, 'mm')!.title).toBe('Thread change after stitch 1,000');
  expect(stitchSentence(view, plan, 1540, 'inch')).toContain(' in ');
});
