// The verdict in sentences, as the run sheet and the command line word it.
import type { Estimate, Verdict } from '../types';
import { figure } from './figures';

interface Per {
  caps: number;
  words: string;
}

// Small chances are told per more caps, so that nobody reads "0.003 needle breaks".
function perFor(breaks: number): Per {
  if (breaks >= 95) return { caps: 1, words: 'a cap' };
  if (breaks >= 0.095) return { caps: 100, words: 'per 100 caps' };
  return { caps: 10_000, words: 'per 10,000 caps' };
}

/** The figure with as many digits as tell it from the limit; empty where people's digits do. */
function figureNear(count: number, limit: number): string {
  if (count === limit || figure(count) !== figure(limit)) return '';
  for (let digits = 3; digits <= 7; digits++) {
    const shown = Number(count.toPrecision(digits));
    if (shown !== Number(limit.toPrecision(digits))) return String(shown);
  }
  return String(count);
}

/** "about 3 needle breaks per 100 caps" */
export function breaksInWords(breaks: number, limit?: number): string {
  const per = perFor(breaks);
  const scale = per.caps / 100;
  const count = breaks * scale;
  if (per.caps === 10_000 && count < 0.95) return `fewer than 1 needle break ${per.words}`;
  const near = limit === undefined ? '' : figureNear(count, limit * scale);
  const shown = near || figure(count);
  const words = `about ${shown} needle break${shown === '1' ? '' : 's'} ${per.words}`;
  return near && limit !== undefined
    ? `${words} (limit ${Number((limit * scale).toPrecision(10))})`
    : words;
}

/** "likely 1 to 7" on the scale that `breaksInWords` takes for the mean. */
export function rangeInWords(estimate: Estimate): string {
  const scale = perFor(estimate.mean).caps / 100;
  return `likely ${figure(estimate.low * scale)} to ${figure(estimate.high * scale)}`;
}

const kNumbers = ['No', 'One', 'Two', 'Three', 'Four', 'Five', 'Six', 'Seven', 'Eight', 'Nine'];
export const numberWord = (n: number) => kNumbers[n] ?? String(n);

/** A sentence in pieces; what is risk is set apart. */
export type Piece = string | { risk: string };

function rework(verdict: Verdict, now: Estimate): Piece[] {
  const limit = verdict.limit_breaks_per_100;
  const n = verdict.changes.filter((change) => change.chosen).length;
  const best = verdict.best_breaks_per_100_caps ?? now;
  const pieces: Piece[] = [
    'As it stands, ',
    { risk: breaksInWords(now.mean, limit) },
    `, ${rangeInWords(now)}.`,
  ];
  if (n > 0) {
    const bring = n === 1 ? 'One change brings' : `${numberWord(n)} changes bring`;
    pieces.push(` ${bring} it to ${breaksInWords(best.mean, limit)}.`);
  }
  return pieces;
}

function refuse(verdict: Verdict, now: Estimate): Piece[] {
  const limit = verdict.limit_breaks_per_100;
  const n = verdict.changes.filter((change) => change.chosen).length;
  const best = verdict.best_breaks_per_100_caps ?? now;
  const left =
    n === 0
      ? 'Nothing on the bench helps'
      : `The best the bench can do leaves ${breaksInWords(best.mean, limit)}`;
  return [
    'Not with this design as it is: ',
    { risk: breaksInWords(now.mean, limit) },
    `, ${rangeInWords(now)}. ${left}; the limit is ${figure(limit)} per 100 caps.`,
  ];
}

/** Where nothing could be placed there is no forecast: then the notes or offers say why. */
function unplaced(verdict: Verdict): Piece[] {
  const why = verdict.notes.find((note) => note.kind === 'left_out' || note.kind === 'reach')?.why;
  const first = verdict.offers[0]?.why;
  return [`Not on this cap as asked${why ? `: ${why}` : first ? `. Nearest: ${first}` : ''}.`];
}

export function sentenceOf(verdict: Verdict): Piece[] {
  const now = verdict.breaks_per_100_caps;
  if (!now) return unplaced(verdict);
  const unread = verdict.notes.find((note) => note.kind === 'unreadable');
  if (unread) return [`Not at this size: ${unread.why}.`];
  if (verdict.verdict === 'run') {
    return [
      `Ready to run: ${breaksInWords(now.mean, verdict.limit_breaks_per_100)}, ${rangeInWords(now)}.`,
    ];
  }
  return verdict.verdict === 'rework' ? rework(verdict, now) : refuse(verdict, now);
}

export const plainText = (pieces: Piece[]) =>
  pieces.map((piece) => (typeof piece === 'string' ? piece : piece.risk)).join('');

/** "In this order of 48: about 1.4 broken needles." */
export function orderInWords(verdict: Verdict, caps: number): string {
  if (!verdict.breaks_per_100_caps || caps < 2) return '';
  const n = (verdict.breaks_per_100_caps.mean * caps) / 100;
  if (n < 0.05) return `In this order of ${caps}: hardly a broken needle.`;
  const shown = figure(n);
  return `In this order of ${caps}: about ${shown} broken needle${shown === '1' ? '' : 's'}.`;
}

const kDrivers: Record<string, string> = {
  gap: 'Gap',
  slope: 'Slope',
  seam: 'Seam',
  crowding: 'Crowding',
  motion: 'Motion',
  hardness: 'Hardness',
  buckling: 'Buckling',
};
const kDriverMeans: Record<string, string> = {
  gap: 'cloth standing off the plate',
  slope: 'cloth leaning under the point',
  seam: 'the centre seam',
  crowding: 'threads already there',
  motion: 'the frame still moving',
  hardness: 'hard layers',
  buckling: 'the blade giving way end-on',
};
export const driverName = (key: string) => kDrivers[key] ?? key;
export const driverMeans = (key: string) => kDriverMeans[key] ?? '';
