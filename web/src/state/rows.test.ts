import { describe, expect, it } from 'vitest';
import type { Settings, Verdict, VerdictWords } from '../types';
import { isSet, mergeRows, type Row, switchChosen, switchRow } from './rows';

const settings = (bench: Record<string, unknown>): Settings => ({
  bench: {
    raise_mm: 0,
    packing_mm: 0,
    clips: false,
    foot_mm: 3.5,
    needle: '80:sharp',
    speed_spm: 900,
    ...bench,
  },
});

const verdict = (...ids: [string, number, boolean?][]) =>
  ({
    changes: ids.map(([id, breaks, chosen]) => ({
      id,
      breaks,
      time_s: 0,
      registration_mm: null,
      cost: null,
      chosen: chosen ?? false,
    })),
  }) as unknown as Verdict;

const words: VerdictWords = {
  sentence: '',
  changes: {
    'bench.clips=true': { words: 'Clip both edges of the front', why: 'Closer', caution: '' },
  },
};

/** The rows that follow on others, in a verdict with those changes. */
const merged = (rows: Row[], verdict: Verdict, settings: Settings) =>
  mergeRows(rows, { verdict, words, settings });

describe('rows of changes', () => {
  const start = merged(
    [],
    verdict(
      ['bench.packing_mm=1.5', -1.9, true],
      ['bench.clips=true', -0.8],
      ['bench.speed_spm=850', -0.4],
    ),
    settings({}),
  );

  it('stands in the verdict’s order, and leaves out what saves nothing', () => {
    expect(start.map((row) => row.id)).toEqual([
      'bench.packing_mm=1.5',
      'bench.clips=true',
      'bench.speed_spm=850',
    ]);
    expect(merged([], verdict(['bench.clips=true', -0.001]), settings({}))).toEqual([]);
  });

  it('a change that nobody has words for is called by its setting', () => {
    expect(start.map((row) => row.told.words)).toEqual([
      'bench.packing_mm=1.5',
      'Clip both edges of the front',
      'bench.speed_spm=850',
    ]);
  });

  it('switching on asks for the change and keeps its place', () => {
    const step = switchRow(start, 'bench.clips=true');
    expect(step.set).toEqual(['bench.clips=true']);
    expect(step.words).toBe('Clip both edges of the front');
    const after = merged(
      step.rows,
      verdict(['bench.packing_mm=1.5', -1.2, true]),
      settings({ clips: true }),
    );
    expect(after.map((row) => [row.id, row.isOn])).toEqual([
      ['bench.packing_mm=1.5', false],
      ['bench.clips=true', true],
    ]);
  });

  it('switching off asks for what was before', () => {
    const on = switchRow(start, 'bench.packing_mm=1.5').rows;
    expect(switchRow(on, 'bench.packing_mm=1.5').set).toEqual(['bench.packing_mm=0']);
  });

  it('a further step of the same key takes the place, and goes all the way back', () => {
    const on = switchRow(start, 'bench.speed_spm=850').rows;
    const more = merged(on, verdict(['bench.speed_spm=800', -0.2]), settings({ speed_spm: 850 }));
    const step = switchRow(more, 'bench.speed_spm=800');
    expect(step.rows.map((row) => row.id)).toEqual(['bench.speed_spm=800']);
    expect(switchRow(step.rows, 'bench.speed_spm=800').set).toEqual(['bench.speed_spm=900']);
  });

  it('undo elsewhere switches the row off', () => {
    const on = switchRow(start, 'bench.clips=true').rows;
    const undone = merged(on, verdict(['bench.clips=true', -0.8]), settings({ clips: false }));
    expect(undone.find((row) => row.id === 'bench.clips=true')?.isOn).toBe(false);
  });

  it('switches all of the best set in one step', () => {
    const rows = merged(
      [],
      verdict(
        ['bench.packing_mm=1', -1, true],
        ['bench.clips=true', -1, true],
        ['bench.foot_mm=3', -1],
      ),
      settings({}),
    );
    const step = switchChosen(rows);
    expect(step.set).toEqual(['bench.packing_mm=1', 'bench.clips=true']);
    expect(step.words).toBe('The best 2 changes');
  });

  it('knows a value however it is written', () => {
    expect(isSet(settings({ needle: '75:sharp' }), 'bench.needle=75:sharp')).toBe(true);
    expect(isSet(settings({ packing_mm: 1.5 }), 'bench.packing_mm=1.50')).toBe(true);
    expect(isSet(settings({}), 'bench.slowest_spm=0')).toBe(true);
    expect(isSet(settings({}), 'bench.clips=true')).toBe(false);
  });
});
