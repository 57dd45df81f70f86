// The five places of the gap card, and which measured gap belongs to which.
import type { GapReading, Units, View } from '../types';
import { length, millimetresTyped, plain } from '../words/figures';

export interface Place {
  letter: 'A' | 'B' | 'C' | 'D' | 'E';
  words: string;
  x_mm: number;
  y_mm: number;
}

/** How far beside, in mm, B and C lie from A. */
export const kBeside = 20;
/** A gap measured within this of a place, in mm, is that place's. */
const kNear = 8;
/** More than a front can stand off, in mm: a slip of the point. The command line refuses more than 15. */
export const kMostGap = 10;
const kLeastRoom = 4;

/** Lowest and highest needle-down on the chart; the usual places where nothing is sewn. */
export function reachUp(view: View): [number, number] {
  const { y, op } = view.entries;
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < op.length; i++) {
    if (op[i] !== 's') continue;
    const at = y[i] ?? 0;
    if (at < low) low = at;
    if (at > high) high = at;
  }
  if (low < high) return [low, high];
  const { lowest_mm, top_mm } = view.ground.usual;
  const lowest = lowest_mm ?? 0;
  return [Math.ceil(lowest + 3), top_mm ?? lowest + 50];
}

export function placesOf(view: View): Place[] {
  const [lowest, top] = reachUp(view);
  const low = Math.round(lowest);
  const high = Math.max(Math.round(top), low + kLeastRoom);
  const mid = Math.round((low + high) / 2);
  const line = view.ground.cap.has_seam ? 'seam' : 'centre line';
  return [
    { letter: 'A', words: `${line}, lowest stitch`, x_mm: 0, y_mm: low },
    { letter: 'B', words: 'left of A', x_mm: -kBeside, y_mm: low },
    { letter: 'C', words: 'right of A', x_mm: kBeside, y_mm: low },
    { letter: 'D', words: `${line}, mid height`, x_mm: 0, y_mm: mid },
    { letter: 'E', words: `${line}, top stitch`, x_mm: 0, y_mm: high },
  ];
}

export interface Placed {
  /** By letter; absent: not measured. */
  at: Partial<Record<Place['letter'], GapReading>>;
  /** Measured elsewhere: kept as they are. */
  others: GapReading[];
}

export function placeReadings(readings: GapReading[], places: Place[]): Placed {
  const placed: Placed = { at: {}, others: [] };
  for (const reading of readings) {
    const away = (place: Place) => Math.hypot(place.x_mm - reading.x_mm, place.y_mm - reading.y_mm);
    const free = places.filter((place) => !placed.at[place.letter] && away(place) <= kNear);
    const nearest = free.sort((a, b) => away(a) - away(b))[0];
    if (nearest) placed.at[nearest.letter] = reading;
    else placed.others.push(reading);
  }
  return placed;
}

/** The readings after `text` was typed at a place; empty takes the reading away. */
export function withTyped(placed: Placed, place: Place, gap_mm: number | null): GapReading[] {
  const at = { ...placed.at };
  if (gap_mm === null) delete at[place.letter];
  else
    at[place.letter] = {
      x_mm: place.x_mm,
      y_mm: place.y_mm,
      gap_mm,
      sd_mm: at[place.letter]?.sd_mm ?? 0.4,
    };
  return [...Object.values(at), ...placed.others];
}

export function gapsAsSet(readings: GapReading[]): string {
  const one = (r: GapReading) =>
    `{x_mm=${r.x_mm},y_mm=${r.y_mm},gap_mm=${Number(r.gap_mm.toFixed(3))},sd_mm=${r.sd_mm ?? 0.4}}`;
  return `gap=[${readings.map(one).join(',')}]`;
}

export interface TypedGap {
  mm: number | null;
  wrong: string | null;
}

/** "Gap at C is 22 mm. Did you mean 2.2?" */
export function gapTyped(text: string, letter: string, units: Units): TypedGap {
  if (text.trim() === '') return { mm: null, wrong: null };
  const mm = millimetresTyped(text, units);
  if (mm === null)
    return {
      mm,
      wrong: `Gap at ${letter}: “${text}” is not a number. Type it as 2.2, or leave it empty.`,
    };
  if (mm < 0)
    return {
      mm,
      wrong: `Gap at ${letter} is ${length(mm, units)}. The plate is at 0; type 0 or more.`,
    };
  if (mm > kMostGap) {
    const meant =
      units === 'mm' && mm / 10 <= kMostGap ? ` Did you mean ${plain(mm / 10, 2)}?` : '';
    return {
      mm,
      wrong: `Gap at ${letter} is ${length(mm, units)}.${meant || ` A front stands off by ${length(kMostGap, units)} at most.`}`,
    };
  }
  return { mm, wrong: null };
}

/** Gap along the centre line, [y, mm] from the bill up to `top`. */
export function gapAlongCentre(view: View, top: number): [number, number][] {
  const { x0, y0, step_mm, nx, ny, mm } = view.ground.gap;
  const column = Math.min(nx - 1, Math.max(0, Math.round(-x0 / step_mm)));
  const line: [number, number][] = [];
  for (let row = 0; row < ny; row++) {
    const y = y0 + row * step_mm;
    const gap = mm[row * nx + column];
    if (y >= 0 && y <= top && typeof gap === 'number') line.push([y, gap]);
  }
  return line;
}
