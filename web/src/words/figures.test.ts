import { describe, expect, it } from 'vitest';
import {
  chance,
  duration,
  figure,
  length,
  lengthAside,
  lengthsIn,
  millimetresTyped,
  numberTyped,
  plain,
  signed,
  thousands,
  timeChange,
  when,
} from './figures';

describe('lengths', () => {
  it('tells the millimetres within words in inches', () => {
    expect(lengthsIn('Chalk fill 34 × 27 mm, 37 mm up', 'inch')).toBe(
      'Chalk fill 1.34 × 1.06 in, 1.46 in up',
    );
    expect(lengthsIn('gap 1.4\u00a0mm', 'inch')).toBe('gap 0.06 in');
    expect(lengthsIn('gap 1.4 mm', 'mm')).toBe('gap 1.4 mm');
  });

  // 1 inch is 25.4 mm exactly (international yard and pound agreement, 1959).
  it('shows both units, the chosen one first', () => {
    expect(length(46, 'mm')).toBe('46 mm');
    expect(lengthAside(46, 'mm')).toBe('1.81 in');
    expect(length(50.8, 'inch')).toBe('2.00 in');
    expect(lengthAside(50.8, 'inch')).toBe('50.8 mm');
  });

  it.each([
    ['46', 'mm', 46],
    ['46 mm', 'inch', 46],
    ['2,5', 'mm', 2.5],
    ['4.6cm', 'mm', 46],
    ['1 13/16"', 'mm', 46.0375],
    ['1/2 in', 'mm', 12.7],
    ['2', 'inch', 50.8],
    ['−3', 'mm', -3],
  ] as const)('reads %s typed in %s', (text, units, mm) => {
    expect(millimetresTyped(text, units)).toBeCloseTo(mm, 9);
  });

  it.each(['', 'tall', '4..5', '1/0', '46 pt', '--3'])('reads nothing from %j', (text) => {
    expect(millimetresTyped(text, 'mm')).toBeNull();
  });

  it('gives back what it showed, in either unit, for every tenth of a millimetre', () => {
    for (let tenths = 5; tenths <= 4000; tenths++) {
      const mm = tenths / 10;
      expect(millimetresTyped(length(mm, 'mm'), 'inch')).toBeCloseTo(mm, 6);
      expect(Math.abs((millimetresTyped(length(mm, 'inch'), 'mm') ?? 0) - mm)).toBeLessThanOrEqual(
        0.1271,
      );
    }
  });
});

describe('figures', () => {
  it('keeps the digits of an estimate that people want', () => {
    const shown = [2.815, 0.9889, 10.19, 0.1513, 1.26, 0.0313, 131, 0].map(figure);
    expect(shown).toEqual(['3', '1', '10', '0.2', '1.3', '0.03', '130', '0']);
  });

  it('never moves an estimate by more than half of its last digit', () => {
    for (let i = 0; i < 400; i++) {
      const value = 0.001 * 1.04 ** i;
      expect(Math.abs(Number(figure(value)) - value) / value).toBeLessThanOrEqual(0.34);
    }
  });

  it('sets a true minus and groups thousands', () => {
    expect(plain(-2.04, 1)).toBe('−2');
    expect(signed(-1.937)).toBe('−1.9');
    expect(signed(2.3)).toBe('+2.3');
    expect(signed(0.001)).toBe('0');
    expect(thousands(12480)).toBe('12,480');
    expect(thousands(1234567)).toBe('1,234,567');
    expect(thousands(999)).toBe('999');
  });

  it('says chances as people do', () => {
    expect(chance(0.0007163)).toBe('1 in 1,400');
    expect(chance(0)).toBe('none');
  });

  it('says times as people do', () => {
    expect([40, 536.4, 4800, 3600].map(duration)).toEqual(['40 s', '9 min', '1 h 20 min', '1 h']);
    expect([0.2, 15, 90, -12].map(timeChange)).toEqual([
      'no time',
      '+15 s a cap',
      '+1.5 min a cap',
      '−12 s a cap',
    ]);
  });

  it('reads plain numbers, thousands apart or not', () => {
    expect(numberTyped('1,000')).toBe(1000);
    expect(numberTyped('650')).toBe(650);
    expect(numberTyped('six')).toBeNull();
  });

  it('says when a job was changed', () => {
    const now = new Date(2026, 10, 30, 12, 0);
    expect(when(new Date(2026, 10, 30, 10, 42).toISOString(), now)).toBe('today 10:42');
    expect(when(new Date(2026, 10, 29, 23, 5).toISOString(), now)).toBe('yesterday 23:05');
    expect(when(new Date(2026, 2, 12).toISOString(), now)).toBe('12 March');
    expect(when(new Date(2025, 2, 12).toISOString(), now)).toBe('12 March 2025');
  });
});
