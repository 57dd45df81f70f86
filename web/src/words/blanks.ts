// A blank of the ticket: what stands in it, what it may hold, and what filling it asks of the server.
import type { Ask, Lists, Settings, Units } from '../types';
import { settingAt } from './changes';
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
  ask: (value: string) => { asked: Ask; words: string };
}

export interface TicketSource {
  settings: Settings;
  /** The blanks as the server fills them in: also what the settings leave to it. */
  ticket: Record<string, unknown>;
  layout: string | null;
  lists: Lists | null;
  units: Units;
}

export const numberAt = (settings: Settings, key: string): number | null => {
  const value = settingAt(settings, key);
  return typeof value === 'number' ? value : null;
};
export const textAt = (settings: Settings, key: string): string => {
  const value = settingAt(settings, key);
  return typeof value === 'string' ? value : '';
};
export const lowerFirst = (text: string) =>
  /^[A-Z][A-Z]/.test(text) ? text : text.charAt(0).toLowerCase() + text.slice(1);

/** What the server made of a key that nobody asked for. */
function filledIn({ ticket }: TicketSource, key: string): number | null {
  const value = ticket[key.split('.')[1] ?? ''];
  return typeof value === 'number' ? value : null;
}

interface AmountKind {
  key: string;
  name: string;
  unit: string;
  step: number;
  words?: (value: number) => string;
  range?: [number, number];
}

export function amountBlank(source: TicketSource, kind: AmountKind): Blank {
  const { settings, lists, units } = source;
  const value = numberAt(settings, kind.key) ?? filledIn(source, kind.key);
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
    ask: (text) => ({
      asked: { set: [`${kind.key}=${text}`] },
      words: `${kind.name}: ${tell(Number(text))}`,
    }),
  };
}

export function choiceBlank(
  { settings }: TicketSource,
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
      return { asked: { set: [`${key}=${toml(picked)}`] }, words: `${name}: ${words}` };
    },
  };
}

export const yesNo = (yes: string, no: string) => [
  { value: 'true', words: yes },
  { value: 'false', words: no },
];
