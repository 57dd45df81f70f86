// Words and figures of the ground: names of places in the serif's italic, figures that stand on the
// contours turned with the line, measured gaps. Each where there is room for it. Plot px, y down.
import type { GapReading, Ground, Units, Xy } from '../types';
import { kMmPerInch, length } from '../words/figures';
import { type Box, type Camera, seenBox, toPx } from './camera';
import type { Level } from './contours';
import { type Label, labelBox, type Measure, round, type Taken } from './lettering';

export interface PlaceRoom {
  camera: Camera;
  taken: Taken;
  measure: Measure;
  units: Units;
}

const inside = (box: Box, camera: Camera) =>
  box.x0 >= 0 && box.y0 >= 0 && box.x1 <= camera.width && box.y1 <= camera.height;

/** Whether (x, y) lies in the ring, by the even-odd rule. */
export function contains(ring: readonly Xy[], x: number, y: number): boolean {
  let is = false;
  for (let k = 0, j = ring.length - 1; k < ring.length; j = k++) {
    const [ax, ay] = ring[k]!;
    const [bx, by] = ring[j]!;
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) is = !is;
  }
  return is;
}

export function boundsOf(ring: readonly Xy[]): Box | null {
  if (!ring.length) return null;
  const box = { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity };
  for (const [x, y] of ring) {
    box.x0 = Math.min(box.x0, x);
    box.y0 = Math.min(box.y0, y);
    box.x1 = Math.max(box.x1, x);
    box.y1 = Math.max(box.y1, y);
  }
  return box;
}

function put(out: Label[], label: Label, room: PlaceRoom): boolean {
  const box = labelBox(label, room.measure);
  if (!inside(box, room.camera) || !room.taken.take(box, 5)) return false;
  out.push({ ...label, card: { x0: box.x0 - 2, y0: box.y0, x1: box.x1 + 2, y1: box.y1 } });
  return true;
}

const kSmall = { face: 'italic', px: 12.5 } as const;

function nameSea(out: Label[], ground: Ground, room: PlaceRoom) {
  const field = boundsOf(ground.field);
  if (!field) return;
  const [x, shore] = toPx(room.camera, 0, room.camera.turned ? field.y1 : field.y1);
  const far = room.camera.turned ? room.camera.height - shore : shore;
  if (far < 31) return;
  const middle = room.camera.turned ? shore + far / 2 : shore / 2;
  put(
    out,
    {
      x,
      y: middle + 4,
      words: 'beyond the frame’s field',
      type: { face: 'italic', px: 14, tracking: 0.32 },
      anchor: 'middle',
      look: 'place sea-name',
    },
    room,
  );
}

/** On a line across the chart: at its left end, or at its right where that is taken. */
function nameLine(out: Label[], y_mm: number, words: string, room: PlaceRoom) {
  const [, y] = toPx(room.camera, 0, y_mm);
  for (const [x, anchor] of [
    [6, 'start'],
    [room.camera.width - 6, 'end'],
  ] as const)
    for (const lift of [-5, 15])
      if (put(out, { x, y: y + lift, words, type: kSmall, anchor, look: 'place' }, room)) return;
}

function nameStrip(out: Label[], ground: Ground, room: PlaceRoom) {
  if (!(ground.unreachable_mm > 0)) return;
  const [x, y] = toPx(room.camera, 0, ground.unreachable_mm / 2);
  if (ground.unreachable_mm * room.camera.scale < 14) return;
  const wide = `the foot cannot reach · ${length(ground.unreachable_mm, room.units)} beside the bill seam`;
  for (const words of [wide, 'the foot cannot reach']) {
    const type = { ...kSmall, tracking: 0.14 };
    if (put(out, { x, y: y + 4, words, type, anchor: 'middle', look: 'place' }, room)) return;
  }
}

export function placeNames(ground: Ground, room: PlaceRoom): Label[] {
  const out: Label[] = [];
  const { camera, units } = room;
  const { lowest_mm } = ground.usual;
  nameSea(out, ground, room);
  nameStrip(out, ground, room);
  if (ground.unreachable_mm > 0 && lowest_mm !== null)
    nameLine(
      out,
      lowest_mm,
      `lowest stitch usually here or above, ${length(lowest_mm, units)}`,
      room,
    );
  if (ground.usual.top_mm !== null)
    nameLine(
      out,
      ground.usual.top_mm,
      `usual top: ${length(50.8, units)} above the design’s lower edge`,
      room,
    );
  const field = boundsOf(ground.field);
  if (ground.cap.has_seam && field) {
    const top = Math.min(seenBox(camera).y1, field.y1);
    const [x, y] = toPx(camera, 0, top);
    const drop = camera.turned ? -12 : 20;
    const words = 'centre seam';
    put(out, { x: x + 9, y: y + drop, words, type: kSmall, anchor: 'start', look: 'place' }, room);
  }
  for (const [ex, ey, r] of ground.cap.eyelets) {
    const [x, y] = toPx(camera, ex, ey);
    const side = x < camera.width / 2 ? -1 : 1;
    const away = r * camera.scale + 10;
    put(
      out,
      {
        x: x + side * away,
        y: y + 4,
        words: 'eyelet',
        type: kSmall,
        anchor: side < 0 ? 'end' : 'start',
        look: 'place sea-name',
      },
      room,
    );
  }
  return out;
}

interface Spot {
  at: Xy;
  turn: number;
  miss: number;
}

/** The place of visible, free land on one level nearest to px `wanted` across. */
function bestSpot(level: Level, ground: Ground, wanted: number, camera: Camera): Spot | null {
  let best: Spot | null = null;
  for (const { points } of level.lines) {
    for (let k = 1; k < points.length; ++k) {
      const a = points[k - 1]!;
      const b = points[k]!;
      const n = Math.max(1, Math.floor(Math.hypot(b[0] - a[0], b[1] - a[1]) / 2));
      for (let i = 0; i < n; ++i) {
        const t = (i + 0.5) / n;
        const [mx, my] = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
        const at = toPx(camera, mx, my);
        const miss = Math.abs(at[0] - wanted);
        if (best && miss >= best.miss) continue;
        if (!(at[0] > 14 && at[0] < camera.width - 14 && at[1] > 12 && at[1] < camera.height - 5))
          continue;
        const isStrip = my < ground.unreachable_mm && my > 0.8;
        if (!isStrip && !contains(ground.field, mx, my)) continue;
        const turn = (-Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
        best = { at, turn: ((turn + 90 + 360) % 180) - 90, miss };
      }
    }
  }
  return best;
}

/** Figures on the contours, left and right; a figure that meets a mark is left out. */
export function placeFigures(levels: Level[], ground: Ground, room: PlaceRoom): Label[] {
  const out: Label[] = [];
  const { camera } = room;
  const type = { face: 'sans', px: 10.5 } as const;
  let row = 0;
  for (const level of [...levels].reverse()) {
    if (level.level < 0.3) continue;
    // Figures step inwards from line to line, so that they do not stand in one column.
    const step = 26 + 30 * (row++ % 5);
    for (const wanted of [step, camera.width - step]) {
      const spot = bestSpot(level, ground, wanted, camera);
      if (!spot || spot.miss > 160) continue;
      const [c, s] = [Math.cos((spot.turn * Math.PI) / 180), Math.sin((spot.turn * Math.PI) / 180)];
      const drop = 0.34 * type.px; // the figures' middle lies on the line, not their base
      const label: Label = {
        x: spot.at[0] - s * drop,
        y: spot.at[1] + c * drop,
        words: room.units === 'mm' ? level.level.toFixed(1) : (level.level / kMmPerInch).toFixed(2),
        type,
        anchor: 'middle',
        turn: spot.turn,
        look: 'level',
      };
      if (room.taken.take(labelBox(label, room.measure), 3)) out.push(label);
    }
  }
  return out;
}

export const kTriangle = 7.5; // px, of a measured gap

export const readingName = (k: number) => String.fromCharCode(65 + (k % 26));

/** Takes the triangles' room; call before other words are placed. */
export function takeReadings(readings: GapReading[], room: PlaceRoom) {
  for (const r of readings) room.taken.add(round(...toPx(room.camera, r.x_mm, r.y_mm), kTriangle));
}

/** Figures beside the triangles, on the side that is free. */
export function placeReadings(readings: GapReading[], room: PlaceRoom): Label[] {
  const type = { face: 'sans', px: 11.5, bold: true } as const;
  const out: Label[] = [];
  readings.forEach((reading, k) => {
    const [x, y] = toPx(room.camera, reading.x_mm, reading.y_mm);
    if (x < 0 || y < 0 || x > room.camera.width || y > room.camera.height) return;
    const figure =
      room.units === 'mm' ? reading.gap_mm.toFixed(1) : (reading.gap_mm / 25.4).toFixed(2);
    const base = { words: `${readingName(k)} ${figure}`, type, look: 'reading' };
    const right: Label = { ...base, x: x + 12, y: y + 4, anchor: 'start' };
    const left: Label = { ...base, x: x - 12, y: y + 4, anchor: 'end' };
    const below: Label = { ...base, x, y: y + 19, anchor: 'middle' };
    const above: Label = { ...base, x, y: y - 10, anchor: 'middle' };
    const places = x < room.camera.width / 2 - 1 ? [left, right] : [right, left];
    const all = [...places, below, above];
    const free = all.find((l) => {
      const box = labelBox(l, room.measure);
      return inside(box, room.camera) && room.taken.isFree(box, 0);
    });
    const label = free ?? all[0]!;
    room.taken.add(labelBox(label, room.measure));
    out.push(label);
  });
  return out;
}
