// Views for trying the drawings: a made-up ground and as many stitches as asked for.
import type { Block, View } from '../src/types';

const kRadius = 92;

/** Rows of fill side by side, in four threads, over a front of `n` stitches; the same each time. */
export function trialView(n: number): View {
  const x: number[] = [];
  const y: number[] = [];
  const hazard: number[] = [];
  const time_s: number[] = [];
  const blocks: Block[] = [];
  let op = '';
  let seconds = 0;
  const put = (letter: string, px: number, py: number) => {
    x.push(Math.round(px * 1000) / 1000);
    y.push(Math.round(py * 1000) / 1000);
    op += letter;
    seconds += letter === 's' ? 60 / 700 : letter === 't' ? 6 : 8;
    time_s.push(seconds);
    hazard.push(letter === 's' ? 2e-8 * Math.exp(9 * Math.exp(-((px / 9) ** 2)) - py / 20) : 0);
  };
  const perPatch = 1000;
  for (let patch = 0; patch * perPatch < n; ++patch) {
    const first = x.length;
    const [cx, cy] = [-44 + 12.5 * (patch % 8), 16 + 8 * (Math.floor(patch / 8) % 7)];
    for (let k = 0; k < Math.min(perPatch, n - patch * perPatch); ++k) {
      const row = Math.floor(k / 4);
      const along = row % 2 ? 3 - (k % 4) : k % 4;
      put('s', cx + along * 3.8 + (row % 3) * 0.4, cy + ((row * 0.38) % 7.6));
    }
    const turn = patch % 2 ? 't' : 'c';
    put(turn, x[x.length - 1]!, y[y.length - 1]!);
    const thread = patch % 4;
    blocks.push({
      object: patch + 1,
      layer: 'top',
      thread,
      first,
      count: x.length - first,
      speed_spm: 700,
    });
  }
  return {
    revision: 1,
    threads: [
      { name: 'Kelp green', rgb: '#2f6f66', tex: 27, needle: 1 },
      { name: 'Brass', rgb: '#c8973a', tex: 27, needle: 2 },
      { name: 'Harbour navy', rgb: '#26395a', tex: 27, needle: 3 },
      { name: 'Chalk', rgb: '#efece2', tex: 27, needle: 4 },
    ],
    objects: blocks.map((b) => ({
      id: b.object,
      kind: 'fill',
      thread: b.thread,
      words: `Patch ${b.object}`,
    })),
    blocks,
    entries: { x, y, op, hazard, time_s },
    best_hazard: null,
    time_s: seconds,
    worst: [1, 2, 3].map((number) => ({
      number,
      entry: 500 * number,
      x_mm: x[500 * number] ?? 0,
      y_mm: y[500 * number] ?? 0,
      p: 1e-4 / number,
      part: `Patch ${number}`,
      where: 'on the seam',
      detail: 'gap 1.2 mm',
      why: 'The needle is pushed down the flank of the seam.',
      helps: 'Pack the plate up.',
      share: 0.3 / number,
    })),
    unfit: null,
    ground: trialGround(),
  };
}

function trialGround(): View['ground'] {
  const profile: [number, number, number][] = [];
  for (let s = 0; s <= 144; s += 2)
    profile.push([s, kRadius * Math.cos(s / kRadius), kRadius * Math.sin(s / kRadius)]);
  const [nx, ny] = [131, 91];
  const mm: number[] = [];
  for (let j = 0; j < ny; ++j)
    for (let i = 0; i < nx; ++i)
      mm.push(3 * Math.exp(-j / 24) + 0.8 * Math.exp(-(((i - 65) / 9) ** 2)) - 0.3);
  return {
    cap: {
      title: 'a trial cap',
      has_seam: true,
      profile,
      arc_to_button_mm: 144,
      eyelets: [
        [-34, 76, 6],
        [34, 76, 6],
      ],
      bill: {},
      head_ratio: 1.16,
      rgb: '#8a8f92',
    },
    window: [-65, 0, 65, 90],
    field: [
      [-60, 4],
      [60, 4],
      [60, 80],
      [-60, 80],
    ],
    keep_outs: [],
    unreachable_mm: 4,
    gap: { x0: -65, y0: 0, step_mm: 1, nx, ny, mm },
    readings: [{ x_mm: 0, y_mm: 18, gap_mm: 2.2 }],
    usual: { lowest_mm: 12.7, top_mm: 66.8 },
    start: [0, 40],
    turn_deg: 180,
    turned_by: 'file',
  };
}
