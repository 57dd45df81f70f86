// Keys and values of changes, and short names for several of them together.
import type { Settings } from '../types';

export const keyOf = (id: string) => id.slice(0, id.indexOf('=') < 0 ? undefined : id.indexOf('='));
export const settingOf = (id: string) => id.slice(id.indexOf('=') + 1);

/** "bench.raise_mm" of the resolved settings. */
export function settingAt(settings: Settings, key: string): unknown {
  return key
    .split('.')
    .reduce<unknown>((at, part) => (at as Record<string, unknown> | undefined)?.[part], settings);
}

/** A value as the API's `set` takes it (a TOML value). */
export function tomlOf(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(tomlOf).join(',')}]`;
  if (typeof value === 'string') return JSON.stringify(value);
  if (value !== null && typeof value === 'object') {
    const inner = Object.entries(value).map(([key, each]) => `${key}=${tomlOf(each)}`);
    return `{${inner.join(',')}}`;
  }
  return String(value);
}

const kPoints: Record<string, string> = { sharp: 'sharp', ball: 'ball' };

/** "80/12 sharp": metric and imperial, as the trade numbers blades (common practice, no source). */
export function needleWords(name: string): string {
  const [size = '', point = ''] = name.split(':');
  const n = Number(size);
  const both = n % 5 === 0 && n >= 60 && n <= 100 ? `${n}/${n / 5 - 4}` : size;
  return `${both} ${kPoints[point] ?? point}`;
}

const kShort: Record<string, string> = {
  'bench.raise_mm': 'a raised plate',
  'bench.packing_mm': 'packing',
  'bench.clips': 'clips',
  'bench.pressed': 'pressing',
  'bench.foot_mm': 'a lower foot',
  'bench.needle': 'another needle',
  'bench.speed_spm': 'less speed',
  'bench.slowest_spm': 'slowing down in places',
  'bench.tautness': 'a taut mount',
  'bench.backing': 'less backing',
  'stitch.style': 'stitching for caps',
  'stitch.order': 'the planned order',
  'artwork.at_mm': 'moving it up',
};

/** "Packing, clips and pressing together", "Packing alone" */
export function togetherInWords(ids: string[]): string {
  const names = ids.map((id) => kShort[keyOf(id)] ?? 'another spacing');
  const all =
    names.length > 1
      ? `${names.slice(0, -1).join(', ')} and ${names.at(-1)} together`
      : `${names[0]} alone`;
  return all.charAt(0).toUpperCase() + all.slice(1);
}
