// The ticket's blanks: what stands in each, what it may hold, and what filling it asks of the server.
import type { Lists, Settings, Units } from '../types';
import { needleWords, settingAt } from './changes';
import { length, plain } from './figures';

export interface ChoiceBlank {
  kind: 'choice';
  choices: { value: string; words: string; note?: string }[];
  value: string;
}
export interface AmountBlank {
  kind: 'amount';
  value: number | null;
  unit: string;
  step: number;
  least?: number | undefined;
  most?: number | undefined;
}
export interface TextBlank {
  kind: 'text';
  value: string;
}

export interface Blank {
  key: string;
  /** Name of the blank: "Cap". */
  name: string;
  words: string;
  isEmpty: boolean;
  sheet: ChoiceBlank | AmountBlank | TextBlank;
  /** The value as `set` takes it, and the words of the step. */
  ask: (value: string) => { set: string[]; words: string };
}

interface Source {
  settings: Settings;
  lists: Lists | null;
  units: Units;
}

const numberAt = (settings: Settings, key: string): number | null => {
  const value = settingAt(settings, key);
  return typeof value === 'number' ? value : null;
};
const textAt = (settings: Settings, key: string): string => {
  const value = settingAt(settings, key);
  return typeof value === 'string' ? value : '';
};
const lowerFirst = (text: string) =>
  /^[A-Z][A-Z]/.test(text) ? text : text.charAt(0).toLowerCase() + text.slice(1);

interface AmountKind {
  key: string;
  name: string;
  unit: string;
  step: number;
  words?: (value: number) => string;
  range?: [number, number];
}

function amountBlank({ settings, lists, units }: Source, kind: AmountKind): Blank {
  const value = numberAt(settings, kind.key);
  const range = lists?.keys[kind.key];
  const tell = kind.words ?? ((n: number) => (kind.unit === 'mm' ? length(n, units) : plain(n, 2)));
  return {
    key: kind.key,
    name: kind.name,
    words: value === null ? '' : tell(value),
    isEmpty: value === null,
    sheet: {
      kind: 'amount',
      value,
      unit: kind.unit,
      step: kind.step,
      least: range?.least ?? kind.range?.[0],
      most: range?.most ?? kind.range?.[1],
    },
    ask: (text) => ({ set: [`${kind.key}=${text}`], words: `${kind.name}: ${tell(Number(text))}` }),
  };
}

function choiceBlank(
  { settings }: Source,
  key: string,
  name: string,
  choices: ChoiceBlank['choices'],
  toml: (value: string) => string = (value) => JSON.stringify(value),
): Blank {
  const raw = settingAt(settings, key);
  const value = raw === undefined || raw === null ? '' : String(raw);
  const found = choices.find((choice) => choice.value === value);
  return {
    key,
    name,
    words: found?.words ?? value,
    isEmpty: value === '',
    sheet: { kind: 'choice', choices, value },
    ask: (picked) => {
      const words = choices.find((choice) => choice.value === picked)?.words ?? picked;
      return { set: [`${key}=${toml(picked)}`], words: `${name}: ${words}` };
    },
  };
}

const yesNo = (yes: string, no: string) => [
  { value: 'true', words: yes },
  { value: 'false', words: no },
];

export function sizeBlank(source: Source): Blank {
  const byWidth =
    numberAt(source.settings, 'artwork.height_mm') === null &&
    numberAt(source.settings, 'artwork.width_mm') !== null;
  return amountBlank(source, {
    key: byWidth ? 'artwork.width_mm' : 'artwork.height_mm',
    name: byWidth ? 'Width' : 'Height',
    unit: 'mm',
    step: 1,
    range: [1, 400],
  });
}

export const isByWidth = (blank: Blank) => blank.key === 'artwork.width_mm';

export const capsBlank = (source: Source) =>
  amountBlank(source, { key: 'order.caps', name: 'Caps', unit: '', step: 1, range: [1, 100_000] });

export const capBlank = (source: Source) =>
  choiceBlank(
    source,
    'cap.name',
    'Cap',
    (source.lists?.caps ?? []).map((cap) => ({ value: cap.name, words: cap.title || cap.name })),
  );

export const mountBlank = (source: Source) =>
  choiceBlank(
    source,
    'bench.mount',
    'Mount',
    (source.lists?.mounts ?? []).map((m) => ({
      value: m.name,
      words: lowerFirst(m.title || m.name),
    })),
  );

export const needleBlank = (source: Source) =>
  choiceBlank(
    source,
    'bench.needle',
    'Needle',
    (source.lists?.needles ?? []).map((name) => ({
      value: name,
      words: name.replace(':', ' '),
      note: needleWords(name),
    })),
  );

export const speedBlank = (source: Source) =>
  amountBlank(source, {
    key: 'bench.speed_spm',
    name: 'Speed',
    unit: 'a minute',
    step: 50,
    words: (n) => plain(n, 0),
  });

/** The plate's two keys, side by side. */
export function plateBlanks(source: Source): Blank[] {
  const mount = textAt(source.settings, 'bench.mount');
  const most = source.lists?.mounts.find((each) => each.name === mount)?.max_raise_mm;
  const two = (key: string, name: string) => {
    const other = key === 'bench.raise_mm' ? 'bench.packing_mm' : 'bench.raise_mm';
    const left = most === undefined ? 15 : most - (numberAt(source.settings, other) ?? 0);
    const blank = amountBlank(source, { key, name, unit: 'mm', step: 0.5 });
    if (blank.sheet.kind === 'amount') {
      blank.sheet.least = 0;
      blank.sheet.most = Math.max(0, Number(left.toFixed(3)));
      blank.sheet.value ??= 0;
    }
    return blank;
  };
  return [two('bench.raise_mm', 'Plate raised by'), two('bench.packing_mm', 'Packed up by')];
}

export function plateWords({ settings, units }: Source): string {
  const raised = numberAt(settings, 'bench.raise_mm') ?? 0;
  const packed = numberAt(settings, 'bench.packing_mm') ?? 0;
  if (raised > 0 && packed > 0)
    return `plate raised ${length(raised, units)}, packed ${length(packed, units)}`;
  if (raised > 0) return `plate raised ${length(raised, units)}`;
  return packed > 0 ? `plate packed up ${length(packed, units)}` : 'plate as it is';
}

export function placeBlanks(source: Source): Blank[] {
  const at = settingAt(source.settings, 'artwork.at_mm') as [number, number] | undefined;
  const one = (axis: 0 | 1, name: string, tell: (mm: number) => string): Blank => {
    const value = at?.[axis] ?? null;
    return {
      key: 'artwork.at_mm',
      name,
      words: value === null ? 'as usual' : tell(value),
      isEmpty: false,
      sheet: { kind: 'amount', value, unit: 'mm', step: 1, least: axis ? 0 : -150, most: 200 },
      ask: (text) => {
        const next = [...(at ?? [0, 0])];
        next[axis] = Number(text);
        return {
          set: [`artwork.at_mm=[${next.join(',')}]`],
          words: `${name}: ${tell(Number(text))}`,
        };
      },
    };
  };
  const across = (mm: number) =>
    Math.abs(mm) < 0.05
      ? 'on the centre line'
      : `${length(Math.abs(mm), source.units)} ${mm < 0 ? 'left' : 'right'} of the centre line`;
  return [
    one(1, 'Middle above the bill seam', (mm) => length(mm, source.units)),
    one(0, 'Middle beside the centre line', across),
  ];
}

export function backingWords(settings: Settings): string {
  const layers = settingAt(settings, 'bench.backing');
  if (!Array.isArray(layers) || layers.length === 0) return 'none';
  const names = layers.map(String);
  const first = names[0] ?? '';
  const isOneKind = names.every((name) => name === first);
  if (!isOneKind) return names.join(' and ');
  const counts = ['', 'one', 'two', 'three', 'four'];
  return `${counts[names.length] ?? names.length} ${first}`;
}

export function backingBlank(source: Source): Blank {
  const kinds = ['tear-away', 'tear-away-light', 'cut-away'];
  const counts = ['none', 'one', 'two', 'three'];
  const choices = [
    { value: '[]', words: 'none' },
    ...kinds.flatMap((kind) =>
      [1, 2, 3].map((n) => ({
        value: JSON.stringify(Array.from({ length: n }, () => kind)),
        words: `${counts[n]} ${kind}`,
      })),
    ),
  ];
  const layers = settingAt(source.settings, 'bench.backing');
  return {
    key: 'bench.backing',
    name: 'Backing',
    words: backingWords(source.settings),
    isEmpty: false,
    sheet: { kind: 'choice', choices, value: JSON.stringify(layers ?? []) },
    ask: (value) => ({
      set: [`bench.backing=${value}`],
      words: `Backing: ${choices.find((choice) => choice.value === value)?.words ?? value}`,
    }),
  };
}

const bareWord = (value: string) => value;

/** The rest of the ticket, by groups of blanks with the words before each. */
export function restOfTicket(source: Source): { before: string; blank: Blank }[] {
  const mm = (key: string, name: string, range: [number, number], step: number) =>
    amountBlank(source, {
      key,
      name,
      unit: 'mm',
      step,
      range,
      words: (n) => (source.units === 'mm' ? `${n.toFixed(2)} mm` : `${plain(n / 25.4, 3)} in`),
    });
  const [up, across] = placeBlanks(source);
  return [
    { before: 'Its middle', blank: up! },
    { before: 'above the bill seam,', blank: across! },
    {
      before: '; the front',
      blank: choiceBlank(source, 'bench.clips', 'Clips', yesNo('clipped', 'not clipped'), bareWord),
    },
    {
      before: 'and',
      blank: choiceBlank(
        source,
        'bench.pressed',
        'Pressing',
        yesNo('pressed', 'not pressed'),
        bareWord,
      ),
    },
    {
      before: ', held',
      blank: amountBlank(source, {
        key: 'bench.tautness',
        name: 'Tautness',
        unit: '',
        step: 0.05,
        range: [0, 1],
        words: (n) => `${plain(n * 100, 0)} % taut`,
      }),
    },
    {
      before: '; foot',
      blank: amountBlank(source, {
        key: 'bench.foot_mm',
        name: 'Foot above the plate',
        unit: 'mm',
        step: 0.5,
        range: [0.5, 10],
      }),
    },
    { before: 'above the plate; backing', blank: backingBlank(source) },
    {
      before: '. Stitched',
      blank: choiceBlank(source, 'stitch.style', 'Stitched', [
        { value: 'cap', words: 'for caps' },
        { value: 'flat', words: 'as for flat goods' },
      ]),
    },
    {
      before: ', sewn',
      blank: choiceBlank(source, 'stitch.order', 'Order', [
        { value: 'planned', words: 'in the planned order' },
        { value: 'given', words: 'in the artwork’s order' },
        { value: 'inward', words: 'from the outside in' },
        { value: 'across', words: 'from side to side' },
      ]),
    },
    { before: ', rows', blank: mm('stitch.row_spacing_mm', 'Rows apart', [0.2, 2], 0.02) },
    {
      before: 'and columns',
      blank: mm('stitch.column_spacing_mm', 'Columns apart', [0.2, 2], 0.02),
    },
    {
      before: 'apart, wider by',
      blank: mm('stitch.compensation_mm', 'Compensation a side', [0, 1], 0.02),
    },
    {
      before: 'a side. Up to',
      blank: amountBlank(source, {
        key: 'limit.breaks_per_100',
        name: 'Your limit',
        unit: 'breaks per 100 caps',
        step: 0.5,
        range: [0, 1000],
      }),
    },
    {
      before: 'broken needles per 100 caps are accepted; for',
      blank: {
        key: 'order.customer',
        name: 'Customer',
        words: textAt(source.settings, 'order.customer') || 'no name yet',
        isEmpty: false,
        sheet: { kind: 'text', value: textAt(source.settings, 'order.customer') },
        ask: (text) => ({
          set: [`order.customer=${JSON.stringify(text)}`],
          words: `Customer: ${text}`,
        }),
      },
    },
  ];
}
