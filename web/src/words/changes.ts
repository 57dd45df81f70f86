// What a change to the bench or the stitches is called, why it helps and what to take care of.
import type { Settings } from '../types';
import { plain } from './figures';

export interface Told {
  words: string;
  why: string;
  caution: string;
}

const kTurn = 'Power off, and turn one full stitch by hand first';
const kPower = 'Power off first';

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

type Teller = (value: string, settings: Settings) => Told;
const told = (words: string, why: string, caution = ''): Told => ({ words, why, caution });
const slower = 'The frame has come to rest before the needle goes in';

const kTellers: Record<string, Teller> = {
  'bench.raise_mm': (mm) =>
    told(`Fit a plate raised by ${plain(Number(mm))} mm`, 'The plate comes up to the cloth', kTurn),
  'bench.packing_mm': (mm, settings) => {
    const more = Number(mm) - Number(settingAt(settings, 'bench.packing_mm') ?? 0);
    return told(
      `Pack the plate up by ${plain(more > 0 ? more : Number(mm))} mm`,
      'Packing under the plate brings it up to the cloth',
      kTurn,
    );
  },
  'bench.clips': () =>
    told('Clip both edges of the front', 'Clips draw the front down to the plate'),
  'bench.pressed': () =>
    told(
      'Press the seam and the bill edge before mounting',
      'A flat seam stands less off the plate',
      'Hot irons and presses burn',
    ),
  'bench.foot_mm': (mm, settings) =>
    told(
      `Lower the foot to ${plain(Number(mm))} mm above the plate`,
      `From ${plain(Number(settingAt(settings, 'bench.foot_mm') ?? 0))} mm; it stops the cloth from going up and down with the needle`,
      kTurn,
    ),
  'bench.needle': (name) =>
    told(
      `Use a needle ${needleWords(name.replace(/"/g, ''))}`,
      'New, in every needle bar used',
      kPower,
    ),
  'bench.speed_spm': (spm) =>
    told(`Slow down to ${plain(Number(spm), 0)} stitches a minute`, slower),
  'bench.slowest_spm': (spm) =>
    told(`Slow down to ${plain(Number(spm), 0)} a minute only where needles break most`, slower),
  'bench.tautness': () =>
    told('Mount the cap as taut as the frame holds it', 'Slack cloth wanders under the needle'),
  'bench.backing': () => told('Take out one layer of backing', 'Fewer layers to pierce than now'),
  'stitch.style': () =>
    told('Stitch it as for caps, not for flat goods', 'Lighter beneath, wider compensation'),
  'stitch.order': () =>
    told('Sew it from the middle out, from the bill up', 'The cloth is not gathered'),
  'stitch.row_spacing_mm': (mm) =>
    told(`Rows of fills ${plain(Number(mm), 2)} mm apart`, 'Fewer threads crowd one place'),
  'stitch.column_spacing_mm': (mm) =>
    told(`Stitches of columns ${plain(Number(mm), 2)} mm apart`, 'Fewer threads crowd one place'),
  'stitch.fill_stitch_mm': (mm) =>
    told(`Fill stitches ${plain(Number(mm), 2)} mm long`, 'Fewer times through the cloth'),
  'artwork.at_mm': (at, settings) => {
    const to = Number(at.replace(/[[\]]/g, '').split(',')[1]);
    const from = (settingAt(settings, 'artwork.at_mm') as number[] | undefined)?.[1];
    const by = from === undefined ? Number.NaN : to - from;
    return told(
      Number.isFinite(by) ? `Move the design up ${plain(by)} mm` : 'Move the design up',
      'Away from the bulk at the bill seam',
    );
  },
};

export function changeTold(id: string, settings: Settings): Told {
  const teller = kTellers[keyOf(id)];
  return teller ? teller(settingOf(id), settings) : told(id, '');
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
