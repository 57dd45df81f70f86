// What the page adds to the verdict's own sentence.
import type { Estimate, Verdict } from '../types';
import { figure } from './figures';

// The scale on which the program tells a chance: smaller ones per more caps.
function scaleFor(breaks: number): number {
  if (breaks >= 95) return 1 / 100;
  return breaks >= 0.095 ? 1 : 100;
}

/** "likely 1 to 7" on the scale that the mean is told on. */
export function rangeInWords(estimate: Estimate): string {
  const scale = scaleFor(estimate.mean);
  return `likely ${figure(estimate.low * scale)} to ${figure(estimate.high * scale)}`;
}

const kNumbers = ['No', 'One', 'Two', 'Three', 'Four', 'Five', 'Six', 'Seven', 'Eight', 'Nine'];
export const numberWord = (n: number) => kNumbers[n] ?? String(n);

/** A sentence in pieces; what is risk is set apart. */
export type Piece = string | { risk: string };

const kRisk =
  /(?:about [\d.]+|fewer than 1) needle breaks? (?:a cap|per [\d,]+ caps)(?: \(limit [\d.]+\))?/;

/** The program's sentence, its first figure of breaks set apart where it warns. */
export function piecesOf(sentence: string, isRisk: boolean): Piece[] {
  const found = isRisk ? kRisk.exec(sentence) : null;
  if (!found) return [sentence];
  const end = found.index + found[0].length;
  return [sentence.slice(0, found.index), { risk: found[0] }, sentence.slice(end)];
}

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
