// Figures as people read them: a true minus, few digits, thousands apart; lengths in millimetres with
// inches beside, or the other way round.
import type { Units } from '../types';

export const kMmPerInch = 25.4;

/** At most `decimals` decimals, trailing zeros dropped: "46", "0.5", "−2". */
export function plain(value: number, decimals = 1): string {
  const rounded = Number(value.toFixed(decimals));
  const text = String(Math.abs(rounded));
  return rounded < 0 ? `−${text}` : text;
}

/** "12,480" */
export function thousands(n: number): string {
  return plain(Math.round(n), 0).replace(/\B(?=(\d{3})+$)/g, ',');
}

/** As many digits as people want of an estimate: 2.8 → "3", 1.23 → "1.2", 0.0313 → "0.03", 131 → "130". */
export function figure(value: number): string {
  if (!(value > 0)) return '0';
  const digits = (value < 2.45 && value >= 1) || value >= 9.5 ? 2 : 1;
  const step = 10 ** (Math.floor(Math.log10(value)) - digits + 1);
  return String(Number((Math.round(value / step) * step).toPrecision(10)));
}

/** A difference with its sign: "−1.9", "+0.2". */
export function signed(value: number): string {
  if (Math.abs(value) < 0.005) return '0';
  const size = Math.abs(value);
  const shown = size >= 0.095 && size < 9.95 ? String(Number(size.toFixed(1))) : figure(size);
  return (value < 0 ? '−' : '+') + shown;
}

/** "1 in 8,300"; "none" for zero. */
export function chance(p: number): string {
  if (!(p > 0)) return 'none';
  const n = 1 / p;
  const step = 10 ** (Math.floor(Math.log10(n)) - 1);
  return `1 in ${thousands(Math.round(n / step) * step)}`;
}

export function percent(share: number): string {
  const value = share * 100;
  if (value > 0 && value < 0.5) return 'under 1 %';
  return `${Math.round(value)} %`;
}

/** "40 s", "6 min", "1 h 20 min" */
export function duration(seconds: number): string {
  if (seconds < 59.5) return `${Math.round(seconds)} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${minutes} min`;
  const rest = minutes % 60;
  return rest ? `${Math.floor(minutes / 60)} h ${rest} min` : `${minutes / 60} h`;
}

/** Seconds a cap as a change in handling: "no time", "+15 s a cap", "+0.5 min a cap". */
export function timeChange(seconds: number): string {
  const size = Math.abs(seconds);
  if (size < 0.5) return 'no time';
  const sign = seconds < 0 ? '−' : '+';
  return size < 60 ? `${sign}${Math.round(size)} s a cap` : `${sign}${plain(size / 60)} min a cap`;
}

export function inUnit(mm: number, units: Units): string {
  return units === 'mm' ? plain(mm, 2) : plain(mm / kMmPerInch, 3);
}

export const unitName = (units: Units) => (units === 'mm' ? 'mm' : 'in');

/** "46 mm" or "1.81 in" */
export function length(mm: number, units: Units): string {
  return units === 'mm' ? `${plain(mm)} mm` : `${(mm / kMmPerInch).toFixed(2)} in`;
}

/** The other unit, shown smaller beside the first. */
export function lengthAside(mm: number, units: Units): string {
  return length(mm, units === 'mm' ? 'inch' : 'mm');
}

/** Words with their millimetres told in `units`: "gap 1.4 mm", "34 × 27 mm", "0.9 mm wide". */
export function lengthsIn(words: string, units: Units): string {
  if (units === 'mm') return words;
  const inches = (mm: string) => (Number(mm) / kMmPerInch).toFixed(2);
  return words.replace(
    /(?:([\d.]+) × )?([\d.]+)[ \u00a0]mm\b/g,
    (_, wide: string | undefined, mm: string) =>
      `${wide ? `${inches(wide)} × ` : ''}${inches(mm)} in`,
  );
}

const kAmount =
  /^([−+-]?)\s*(?:(\d+)\s+)?(\d+)\s*\/\s*(\d+)$|^([−+-]?\s*(?:\d+(?:[.,]\d*)?|[.,]\d+))$/;

function amount(text: string): number | null {
  const m = kAmount.exec(text.trim());
  if (!m) return null;
  if (m[3] !== undefined) {
    if (Number(m[4]) === 0) return null;
    const size = Number(m[2] ?? 0) + Number(m[3]) / Number(m[4]);
    return m[1] === '' || m[1] === '+' ? size : -size;
  }
  return Number((m[5] ?? '').replace(',', '.').replace('−', '-').replace(/\s/g, ''));
}

/**
 * Typed lengths in mm: "46", "46 mm", "4.6 cm", "1.81 in", `1 13/16"`; a bare number is in `units`.
 * null where it is none.
 */
export function millimetresTyped(text: string, units: Units): number | null {
  const m = /^(.*?)\s*(mm|cm|in|inch|inches|"|″)?$/i.exec(text.trim());
  if (!m) return null;
  const value = amount(m[1] ?? '');
  if (value === null) return null;
  const unit = (m[2] ?? unitName(units)).toLowerCase();
  const factor = unit === 'mm' ? 1 : unit === 'cm' ? 10 : kMmPerInch;
  return value * factor;
}

export function numberTyped(text: string): number | null {
  const value = amount(text.replace(/(?<=\d),(?=\d{3}\b)/g, ''));
  return value !== null && Number.isFinite(value) ? value : null;
}

/** "10:42 today", "yesterday", "12 March", "12 March 2025" */
export function when(iso: string, now: Date): string {
  const then = new Date(iso);
  if (Number.isNaN(then.getTime())) return '';
  const days = Math.floor(startOfDay(now) - startOfDay(then));
  const clock = `${String(then.getHours()).padStart(2, '0')}:${String(then.getMinutes()).padStart(2, '0')}`;
  if (days === 0) return `today ${clock}`;
  if (days === 1) return `yesterday ${clock}`;
  const month = then.toLocaleString('en-GB', { month: 'long' });
  const year = then.getFullYear() === now.getFullYear() ? '' : ` ${then.getFullYear()}`;
  return `${then.getDate()} ${month}${year}`;
}

function startOfDay(date: Date): number {
  return Date.UTC(date.getFullYear(), date.getMonth(), date.getDate()) / 86_400_000;
}
