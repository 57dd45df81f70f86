import { describe, expect, it } from 'vitest';
import type { Change, Verdict } from '../types';
import { breaksInWords, orderInWords, plainText, sentenceOf } from './verdict';

const change = (id: string, chosen: boolean): Change => ({
  id,
  breaks: -1,
  time_s: 0,
  registration_mm: null,
  cost: null,
  chosen,
});

const verdict = (over: Partial<Verdict>): Verdict => ({
  buckram_verdict: 1,
  verdict: 'run',
  limit_breaks_per_100: 2,
  breaks_per_100_caps: { mean: 0.4, low: 0.1, high: 1 },
  best_breaks_per_100_caps: null,
  clean_cap: 0.99,
  gap_mm: null,
  drivers: null,
  coverage: null,
  per_cap: null,
  practice: [],
  changes: [],
  offers: [],
  notes: [],
  cautions: [],
  ...over,
});

describe('the verdict in a sentence', () => {
  it('run: says the number and its range', () => {
    expect(plainText(sentenceOf(verdict({})))).toBe(
      'Ready to run: about 0.4 needle breaks per 100 caps, likely 0.1 to 1.',
    );
  });

  it('rework: says what the changes bring it to, and sets the risk apart', () => {
    const pieces = sentenceOf(
      verdict({
        verdict: 'rework',
        breaks_per_100_caps: { mean: 3.1, low: 1, high: 7.2 },
        best_breaks_per_100_caps: { mean: 0.41, low: 0.1, high: 1 },
        changes: [
          change('a=1', true),
          change('b=1', true),
          change('c=1', true),
          change('d=1', false),
        ],
      }),
    );
    expect(plainText(pieces)).toBe(
      'As it stands, about 3 needle breaks per 100 caps, likely 1 to 7. Three changes bring it to about 0.4 needle breaks per 100 caps.',
    );
    expect(pieces.filter((piece) => typeof piece !== 'string')).toEqual([
      { risk: 'about 3 needle breaks per 100 caps' },
    ]);
  });

  it('refuse: says what is left at best', () => {
    const words = plainText(
      sentenceOf(
        verdict({ verdict: 'refuse', breaks_per_100_caps: { mean: 13.8, low: 4, high: 31 } }),
      ),
    );
    expect(words).toBe(
      'Not with this design as it is: about 14 needle breaks per 100 caps, likely 4 to 31. Nothing on the bench helps; the limit is 2 per 100 caps.',
    );
  });

  it('tells a figure from the limit where rounding would hide it', () => {
    expect(breaksInWords(1.99, 2)).toBe('about 1.99 needle breaks per 100 caps (limit 2)');
    expect(breaksInWords(2, 2)).toBe('about 2 needle breaks per 100 caps');
  });

  it('says small chances per 10,000 caps and great ones a cap', () => {
    expect(breaksInWords(0.018)).toBe('about 1.8 needle breaks per 10,000 caps');
    expect(breaksInWords(0.001)).toBe('fewer than 1 needle break per 10,000 caps');
    expect(breaksInWords(131)).toBe('about 1.3 needle breaks a cap');
  });

  it('counts needles over the order', () => {
    expect(orderInWords(verdict({ breaks_per_100_caps: { mean: 3.1, low: 1, high: 7 } }), 48)).toBe(
      'In this order of 48: about 1.5 broken needles.',
    );
    expect(orderInWords(verdict({}), 1)).toBe('');
  });
});
