// The blanks of the rest of the ticket: place, bench, stitches, limit, customer.
import type { Settings } from '../types';
import { amountBlank, type Blank, choiceBlank, type TicketSource, textAt, yesNo } from './blanks';
import { settingAt, tomlOf } from './changes';
import { length, plain } from './figures';

/** Height of the lower edge above the bill seam, in mm, where nobody says otherwise. */
const kUsualLowest_mm = 16;

export function placeBlanks(source: TicketSource): Blank[] {
  const at = settingAt(source.settings, 'artwork.at_mm') as [number, number] | undefined;
  const tall = Number(source.ticket.height_mm ?? 0);
  const usual: [number, number] = [0, kUsualLowest_mm + tall / 2];
  const one = (axis: 0 | 1, name: string, tell: (mm: number) => string): Blank => {
    const value = at?.[axis] ?? null;
    return {
      key: 'artwork.at_mm',
      name,
      words: value === null ? 'as usual' : tell(value),
      isEmpty: false,
      sheet: { kind: 'amount', value, unit: 'mm', step: 1, least: axis ? 0 : -150, most: 200 },
      ask: (text) => {
        const next = [...(at ?? usual)];
        next[axis] = Number(text);
        return {
          asked: { set: [`artwork.at_mm=[${next.join(',')}]`] },
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

export function backingBlank(source: TicketSource): Blank {
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
      asked: { set: [`bench.backing=${value}`] },
      words: `Backing: ${choices.find((choice) => choice.value === value)?.words ?? value}`,
    }),
  };
}

const bareWord = (value: string) => value;

/** The rest of the ticket, by groups of blanks with the words before each. */
export function restOfTicket(source: TicketSource): { before: string; blank: Blank }[] {
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
      blank: textBlank(source, 'order.customer', 'Customer'),
    },
    { before: ', called', blank: textBlank(source, 'artwork.title', 'Title') },
    { before: '; the machine reads', blank: layoutBlank(source) },
  ];
}

function textBlank(source: TicketSource, key: string, name: string): Blank {
  const asked = textAt(source.settings, key);
  const value = asked || String(source.ticket[key.split('.')[1] ?? ''] ?? '');
  return {
    key,
    name,
    words: value || 'no name yet',
    isEmpty: value === '',
    sheet: { kind: 'text', value },
    ask: (text) => ({
      asked: { set: [`${key}=${tomlOf(text)}`] },
      words: `${name}: ${text}`,
    }),
  };
}

/** What a shipped description of machine files is called; G-code is always written. */
function layoutBlank({ lists, layout }: TicketSource): Blank {
  const choices = [
    { value: '', words: 'G-code' },
    ...(lists?.layouts ?? []).map((each) => ({
      value: each.name,
      words: each.name,
      note: each.title,
    })),
  ];
  return {
    key: 'layout',
    name: 'Machine file',
    words: layout ?? 'G-code',
    isEmpty: false,
    sheet: { kind: 'choice', choices, value: layout ?? '' },
    ask: (value) => ({ asked: { layout: value }, words: `Machine file: ${value || 'G-code'}` }),
  };
}
