import { describe, expect, it } from 'vitest';
import type { Ground, View } from '../types';
import { gapAlongCentre, gapsAsSet, gapTyped, placeReadings, placesOf, withTyped } from './gaps';
import { emptyView } from './job_state';

const ground = {
  cap: { has_seam: true },
  gap: {
    x0: -10,
    y0: 0,
    step_mm: 5,
    nx: 5,
    ny: 3,
    mm: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, null, 14],
  },
  readings: [],
  usual: { lowest_mm: 12.7, top_mm: 63.5 },
} as unknown as Ground;

const sewn = (ys: number[]): View => ({
  ...emptyView(ground),
  entries: {
    x: ys.map(() => 0),
    y: ys,
    op: `m${'s'.repeat(ys.length - 1)}`,
    hazard: [],
    time_s: [],
  },
});

describe('the gap card', () => {
  it('sets its places by the stitches, not by moves', () => {
    const places = placesOf(sewn([0, 16.2, 40, 62.1]));
    expect(places.map((place) => [place.letter, place.x_mm, place.y_mm])).toEqual([
      ['A', 0, 16],
      ['B', -20, 16],
      ['C', 20, 16],
      ['D', 0, 39],
      ['E', 0, 62],
    ]);
  });

  it('gives each reading to the nearest free place and keeps the others', () => {
    const places = placesOf(sewn([0, 16, 62]));
    const near = { x_mm: 1, y_mm: 18, gap_mm: 2.5 };
    const far = { x_mm: 40, y_mm: 50, gap_mm: 0.5 };
    const placed = placeReadings([far, near], places);
    expect(placed.at).toEqual({ A: near });
    expect(placed.others).toEqual([far]);
  });

  it('typing sets a reading at the place, empty takes it away', () => {
    const places = placesOf(sewn([0, 16, 62]));
    const placed = placeReadings([{ x_mm: 0, y_mm: 16, gap_mm: 2.5, sd_mm: 0.2 }], places);
    const readings = withTyped(placed, places[2]!, 1.7);
    expect(gapsAsSet(readings)).toBe(
      'gap=[{x_mm=0,y_mm=16,gap_mm=2.5,sd_mm=0.2},{x_mm=20,y_mm=16,gap_mm=1.7,sd_mm=0.4}]',
    );
    expect(withTyped(placed, places[0]!, null)).toEqual([]);
  });

  it('asks about a slip of the point', () => {
    expect(gapTyped('22', 'C', 'mm').wrong).toBe('Gap at C is 22 mm. Did you mean 2.2?');
    expect(gapTyped('2.2', 'C', 'mm')).toEqual({ mm: 2.2, wrong: null });
    expect(gapTyped('0.1 in', 'C', 'mm').mm).toBeCloseTo(2.54, 9);
    expect(gapTyped('', 'C', 'mm')).toEqual({ mm: null, wrong: null });
    expect(gapTyped('two', 'C', 'mm').wrong).toContain('is not a number');
  });

  it('walks up the centre line of the grid and passes over what is not known', () => {
    expect(gapAlongCentre(emptyView(ground), 100)).toEqual([
      [0, 2],
      [5, 7],
      [10, 12],
    ]);
  });
});
