// The rows of "changes worth making". A row stays where it is while it is switched on, so that nothing
// jumps under the hand; the verdict only adds and takes away rows that are off.
import type { Job, Settings, Told, Verdict, VerdictWords } from '../types';
import { keyOf, settingAt, settingOf, tomlOf } from '../words/changes';

export interface Row {
  id: string;
  told: Told;
  breaks: number;
  time_s: number;
  isOn: boolean;
  isChosen: boolean;
  /** What `set` takes to undo it. */
  before: string;
}

// What a key that the settings do not name stands for.
const kUnnamed: Record<string, string> = {
  'bench.slowest_spm': '0',
  'bench.clips': 'false',
  'bench.pressed': 'false',
  'bench.packing_mm': '0',
  'bench.raise_mm': '0',
};

const bare = (value: string) => {
  const text = value.replace(/["\s]/g, '');
  const n = Number(text);
  return text !== '' && Number.isFinite(n) ? String(n) : text;
};

function valueNow(settings: Settings, key: string): string {
  const value = settingAt(settings, key);
  return value === undefined || value === null ? (kUnnamed[key] ?? '') : tomlOf(value);
}

export function isSet(settings: Settings, id: string): boolean {
  return bare(valueNow(settings, keyOf(id))) === bare(settingOf(id));
}

/** Changes that take away less than this a 100 caps are not worth a row. */
const kLeast = 0.01;

function offered(verdict: Verdict, words: VerdictWords | null, settings: Settings): Row[] {
  return verdict.changes
    .filter((change) => change.breaks <= -kLeast || change.chosen)
    .map((change) => ({
      id: change.id,
      told: words?.changes[change.id] ?? { words: change.id, why: '', caution: '' },
      breaks: change.breaks,
      time_s: change.time_s,
      isOn: false,
      isChosen: change.chosen,
      before: `${keyOf(change.id)}=${valueNow(settings, keyOf(change.id))}`,
    }));
}

/** The rows after a new verdict: those on stay in place, those off are as the verdict has them. */
export function mergeRows(rows: Row[], job: Pick<Job, 'verdict' | 'words' | 'settings'>): Row[] {
  const { verdict, words, settings } = job;
  const fresh = verdict ? offered(verdict, words, settings) : [];
  const byId = new Map(fresh.map((row) => [row.id, row]));
  const kept: Row[] = [];
  for (const row of rows) {
    if (isSet(settings, row.id) && row.isOn) {
      kept.push({ ...row, isChosen: false });
      continue;
    }
    const again = byId.get(row.id);
    if (again) kept.push(again);
  }
  const known = new Set(kept.map((row) => row.id));
  return [...kept, ...fresh.filter((row) => !known.has(row.id))];
}

export interface Step {
  rows: Row[];
  set: string[];
  words: string;
}

/** What switching a row does to the list and to the job. */
export function switchRow(rows: Row[], id: string): Step {
  const row = rows.find((each) => each.id === id);
  if (!row) return { rows, set: [], words: '' };
  if (row.isOn) {
    const next = rows.map((each) => (each.id === id ? { ...each, isOn: false } : each));
    return { rows: next, set: [row.before], words: `Without: ${row.told.words}` };
  }
  // One key has one value: the row that set it before gives way, and its way back is kept.
  const old = rows.find((each) => each.isOn && keyOf(each.id) === keyOf(id));
  const next = rows
    .filter((each) => each !== old)
    .map((each) =>
      each.id === id ? { ...each, isOn: true, before: old?.before ?? each.before } : each,
    );
  return { rows: next, set: [id], words: row.told.words };
}

/** All of the best set at once. */
export function switchChosen(rows: Row[]): Step {
  const chosen = rows.filter((row) => row.isChosen && !row.isOn);
  let next = rows;
  for (const row of chosen) next = switchRow(next, row.id).rows;
  const words =
    chosen.length === 1 ? (chosen[0]?.told.words ?? '') : `The best ${chosen.length} changes`;
  return { rows: next, set: chosen.map((row) => row.id), words };
}
