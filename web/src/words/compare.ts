// What differs between two jobs, in words.
import type { Settings, Units, Verdict } from '../types';
import { duration, figure, length, percent, plain, thousands } from './figures';

export interface Pair {
  what: string;
  a: string;
  b: string;
}

const kNames: Record<string, string> = {
  'artwork.file': 'Artwork',
  'artwork.text': 'Lettering',
  'artwork.font': 'Font',
  'artwork.height_mm': 'Height',
  'artwork.width_mm': 'Width',
  'artwork.at_mm': 'Middle, right of the centre line and above the bill seam',
  'cap.name': 'Cap',
  'cap.crown_stiffness': 'Stiffness of the crown',
  'bench.mount': 'Mount',
  'bench.raise_mm': 'Plate raised by',
  'bench.packing_mm': 'Packed up by',
  'bench.clips': 'Clipped',
  'bench.pressed': 'Pressed',
  'bench.tautness': 'Tautness',
  'bench.foot_mm': 'Foot above the plate',
  'bench.needle': 'Needle',
  'bench.speed_spm': 'Speed, stitches a minute',
  'bench.slowest_spm': 'Slowest where needles break most',
  'bench.backing': 'Backing',
  'stitch.style': 'Stitched for',
  'stitch.order': 'Order of sewing',
  'order.caps': 'Caps in the order',
  'order.customer': 'Customer',
};

function flat(value: unknown, at = ''): [string, unknown][] {
  if (value === null || typeof value !== 'object' || Array.isArray(value)) return [[at, value]];
  return Object.entries(value).flatMap(([key, inner]) => flat(inner, at ? `${at}.${key}` : key));
}

const isLength = (key: string) => key.endsWith('_mm');

function shown(value: unknown, key: string, units: Units): string {
  if (value === undefined || value === null) return '–';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'number') return isLength(key) ? length(value, units) : plain(value, 3);
  if (Array.isArray(value))
    return (
      value
        .map((each) => (typeof each === 'object' ? JSON.stringify(each) : shown(each, key, units)))
        .join(', ') || 'none'
    );
  return String(value);
}

function nameOf(key: string): string {
  const words = kNames[key];
  if (words) return words;
  return (key.split('.').at(-1) ?? key).replace(/_mm$/, '').replaceAll('_', ' ');
}

/** The settings that are not the same, in the order of the first job. */
export function differences(a: Settings, b: Settings, units: Units): Pair[] {
  const left = new Map(flat(a));
  const right = new Map(flat(b));
  const keys = [...new Set([...left.keys(), ...right.keys()])];
  return keys
    .map((key) => ({
      what: nameOf(key),
      a: shown(left.get(key), key, units),
      b: shown(right.get(key), key, units),
    }))
    .filter((pair) => pair.a !== pair.b);
}

export function figuresSideBySide(a: Verdict | null, b: Verdict | null, units: Units): Pair[] {
  const pair = (what: string, of: (verdict: Verdict) => string | null): Pair => ({
    what,
    a: (a && of(a)) ?? '–',
    b: (b && of(b)) ?? '–',
  });
  return [
    pair(
      'Breaks per 100 caps',
      (v) =>
        v.breaks_per_100_caps &&
        `${figure(v.breaks_per_100_caps.mean)}, likely ${figure(v.breaks_per_100_caps.low)} to ${figure(v.breaks_per_100_caps.high)}`,
    ),
    pair('Caps without a break', (v) => (v.clean_cap === null ? null : percent(v.clean_cap))),
    pair('Time a cap', (v) => v.per_cap && duration(v.per_cap.time_s)),
    pair('Stitches', (v) => v.per_cap && thousands(v.per_cap.stitches)),
    pair('Trims', (v) => v.per_cap && String(v.per_cap.trims)),
    pair(
      'Gap under the needle, mean and most',
      (v) => v.gap_mm && `${length(v.gap_mm.mean, units)}, ${length(v.gap_mm.max, units)}`,
    ),
    pair('Artwork missed', (v) => v.coverage && `${plain(v.coverage.missed, 2)} %`),
  ];
}
