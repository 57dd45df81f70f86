import { describe, expect, it } from 'vitest';
import type { Verdict } from '../types';
import { orderInWords, piecesOf, rangeInWords } from './verdict';

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

describe('the words of a verdict', () => {
  it('sets the first figure of breaks apart where it warns', () => {
    // As the command line prints them.
    for (const risk of [
      'about 3 needle breaks per 100 caps',
      'about 1.99 needle breaks per 100 caps (limit 2)',
      'about 1 needle break a cap',
      'fewer than 1 needle break per 10,000 caps',
    ]) {
      const sentence = `As it stands, ${risk}, likely 1 to 7. Two changes bring it to about 0.4 needle breaks per 100 caps.`;
      const pieces = piecesOf(sentence, true);
      expect(pieces[1]).toEqual({ risk });
      expect(pieces.map((piece) => (typeof piece === 'string' ? piece : piece.risk)).join('')).toBe(
        sentence,
      );
      expect(piecesOf(sentence, false)).toEqual([sentence]);
    }
    expect(piecesOf('Not on this cap as asked.', true)).toEqual(['Not on this cap as asked.']);
  });

  it('tells a range on the scale of its mean', () => {
    expect(rangeInWords({ mean: 3, low: 1, high: 7.2 })).toBe('likely 1 to 7');
    expect(rangeInWords({ mean: 0.018, low: 0.009, high: 0.04 })).toBe('likely 0.9 to 4');
    expect(rangeInWords({ mean: 131, low: 50, high: 300 })).toBe('likely 0.5 to 3');
  });

  it('counts needles over the order', () => {
    expect(orderInWords(verdict({ breaks_per_100_caps: { mean: 3.1, low: 1, high: 7 } }), 48)).toBe(
      'In this order of 48: about 1.5 broken needles.',
    );
    expect(orderInWords(verdict({}), 1)).toBe('');
  });
});
