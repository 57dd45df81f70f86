// The drawings' figures as tables.
import type { Table } from '../parts/Table';
import type { Units, View } from '../types';
import { chance, duration, length, lengthsIn, percent, plain, thousands } from './figures';

export function worstTable(view: View, units: Units): Table {
  const { x0, y0, step_mm, nx, mm } = view.ground.gap;
  const gapAt = (x: number, y: number) => {
    const at = mm[Math.round((y - y0) / step_mm) * nx + Math.round((x - x0) / step_mm)];
    return typeof at === 'number' ? length(at, units) : '';
  };
  const placed = view.worst.map((place) => [
    `${place.number}`,
    lengthsIn(`${place.part}, ${place.where}`, units),
    length(place.x_mm, units),
    length(place.y_mm, units),
    gapAt(place.x_mm, place.y_mm),
    chance(place.p),
    percent(place.share),
  ]);
  const measured = view.ground.readings.map((r) => [
    'measured',
    'gap',
    length(r.x_mm, units),
    length(r.y_mm, units),
    length(r.gap_mm, units),
    '',
    '',
  ]);
  return {
    caption: 'Worst places and measured gaps',
    head: [
      'No.',
      'Part',
      'Right of the centre line',
      'Above the bill seam',
      'Gap',
      'Chance a stitch',
      'Of all breaks',
    ],
    rows: [...placed, ...measured],
  };
}

export function blockTable(view: View): Table {
  const { hazard, time_s } = view.entries;
  const total = hazard.reduce((sum, p) => sum + p, 0);
  const objects = new Map(view.objects.map((object) => [object.id, object]));
  const rows = view.blocks.map((block, i) => {
    const from = time_s[block.first - 1] ?? 0;
    const to = time_s[block.first + block.count - 1] ?? from;
    let sum = 0;
    for (let k = block.first; k < block.first + block.count; k++) sum += hazard[k] ?? 0;
    return [
      `${i + 1}`,
      objects.get(block.object)?.words ?? `object ${block.object}`,
      block.layer,
      view.threads[block.thread]?.name ?? '',
      `${thousands(block.first)} to ${thousands(block.first + block.count - 1)}`,
      `${plain(block.speed_spm, 0)} a minute`,
      duration(to - from),
      total > 0 ? percent(sum / total) : '',
    ];
  });
  return {
    caption: 'Blocks in sewing order',
    head: ['Block', 'Part', 'Layer', 'Thread', 'Entries', 'Speed', 'Time', 'Of all breaks'],
    rows,
  };
}
