// The blanks of the ticket's first sentence.
import {
  amountBlank,
  type Blank,
  choiceBlank,
  lowerFirst,
  numberAt,
  type TicketSource,
  textAt,
} from './blanks';
import { needleWords } from './changes';
import { length, plain } from './figures';

export function sizeBlank(source: TicketSource): Blank {
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

export const capsBlank = (source: TicketSource) =>
  amountBlank(source, { key: 'order.caps', name: 'Caps', unit: '', step: 1, range: [1, 100_000] });

export const capBlank = (source: TicketSource) =>
  choiceBlank(
    source,
    'cap.name',
    'Cap',
    (source.lists?.caps ?? []).map((cap) => ({ value: cap.name, words: cap.title || cap.name })),
  );

export const mountBlank = (source: TicketSource) =>
  choiceBlank(
    source,
    'bench.mount',
    'Mount',
    (source.lists?.mounts ?? []).map((m) => ({
      value: m.name,
      words: lowerFirst(m.title || m.name),
    })),
  );

export const needleBlank = (source: TicketSource) =>
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

export const speedBlank = (source: TicketSource) =>
  amountBlank(source, {
    key: 'bench.speed_spm',
    name: 'Speed',
    unit: 'a minute',
    step: 50,
    words: (n) => plain(n, 0),
  });

/** The plate's two keys, side by side. */
export function plateBlanks(source: TicketSource): Blank[] {
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

export function plateWords({ settings, units }: TicketSource): string {
  const raised = numberAt(settings, 'bench.raise_mm') ?? 0;
  const packed = numberAt(settings, 'bench.packing_mm') ?? 0;
  if (raised > 0 && packed > 0)
    return `plate raised ${length(raised, units)}, packed ${length(packed, units)}`;
  if (raised > 0) return `plate raised ${length(raised, units)}`;
  return packed > 0 ? `plate packed up ${length(packed, units)}` : 'plate as it is';
}
