import { describe, expect, it } from 'vitest';
import type { Fault, Ground, Job, JobState } from '../types';
import {
  emptyView,
  type JobPage,
  keyIn,
  kStart,
  phaseOf,
  progressInWords,
  reduce,
  seenOf,
  viewToDraw,
} from './job_state';

const ground = (mm: number): Ground => ({
  cap: {
    title: '',
    has_seam: true,
    profile: [],
    arc_to_button_mm: 170,
    eyelets: [],
    bill: {},
    head_ratio: 0.8,
    rgb: '#fff',
  },
  window: [-65, 0, 65, 90],
  field: [],
  keep_outs: [],
  unreachable_mm: 4,
  gap: { x0: 0, y0: 0, step_mm: 1, nx: 1, ny: 1, mm: [mm] },
  readings: [],
  usual: { lowest_mm: 12.7, top_mm: 63.5 },
  start: [0, 40],
  turn_deg: 180,
  turned_by: 'file',
});

const job = (state: JobState, revision = 1, shown_revision = 1): Job => ({
  id: 'a',
  title: '',
  state,
  revision,
  shown_revision,
  settings: {},
  set: [],
  artwork: null,
  layout: null,
  made: '',
  changed: '',
  progress: null,
  undo: null,
  redo: null,
  error: null,
  verdict: null,
  words: null,
  ahead: null,
  ticket: {},
});

const loaded = (state: JobState, revision = 1, shown = 1): JobPage =>
  reduce(kStart, { type: 'loaded', job: job(state, revision, shown), view: emptyView(ground(1)) });

describe('states of the page', () => {
  it.each([
    ['empty', 'empty'],
    ['planning', 'computing'],
    ['done', 'shown'],
    ['refused', 'refused'],
    ['failed', 'error'],
    ['cancelled', 'stale'],
  ] as const)('a job that is %s shows as %s', (state, phase) => {
    expect(phaseOf(loaded(state))).toBe(phase);
  });

  it('waits for the first answer, and says when there is none', () => {
    expect(phaseOf(kStart)).toBe('loading');
    const fault: Fault = { code: 'x', what: 'x', where: '', hint: '' };
    expect(phaseOf(reduce(kStart, { type: 'failed', fault, key: null }))).toBe('error');
  });

  const words = 'gap at A changed';
  const digit = { type: 'typed', ground: null, words } as const;
  const answer = (mm: number) => ({ type: 'typed', ground: ground(mm), words }) as const;
  const drawn = (page: JobPage) => viewToDraw(page)?.ground.gap.mm;

  it('is stale while a gap is typed and not yet asked for', () => {
    const page = [digit, answer(2)].reduce(reduce, loaded('done'));
    expect(phaseOf(page)).toBe('stale');
    expect(drawn(page)).toEqual([2]);
    expect(phaseOf(reduce(page, { type: 'typedDone' }))).toBe('shown');
    expect(drawn(reduce(page, { type: 'typedDone' }))).toEqual([1]);
  });

  it('keeps the last typed contours until the next answer is there', () => {
    expect(drawn([digit, answer(2), digit].reduce(reduce, loaded('done')))).toEqual([2]);
  });

  it('keeps typed contours until the plan that was made with them', () => {
    let page = [digit, answer(2)].reduce(reduce, loaded('done'));
    page = reduce(page, { type: 'typedAsked' });
    page = reduce(page, { type: 'asked', revision: 2, quick: 'about 1' });
    page = reduce(page, { type: 'loaded', job: job('planning', 2, 1), view: emptyView(ground(1)) });
    expect(phaseOf(page)).toBe('computing');
    expect(drawn(page)).toEqual([2]);
    page = reduce(page, { type: 'loaded', job: job('done', 2, 2), view: emptyView(ground(3)) });
    expect(phaseOf(page)).toBe('shown');
    expect(drawn(page)).toEqual([3]);
    expect(phaseOf(reduce(page, answer(2)))).toBe('shown');
  });

  it('carries the quick number of a change until its verdict is there', () => {
    const asked = reduce(loaded('done'), {
      type: 'asked',
      revision: 2,
      quick: 'about 1.1 needle breaks',
    });
    expect(phaseOf(asked)).toBe('computing');
    expect(asked.quick).toBe('about 1.1 needle breaks');
    const done = reduce(asked, { type: 'loaded', job: job('done', 2, 2), view: null });
    expect(done.quick).toBeNull();
    expect(done.view).toBe(asked.view);
  });

  it('shows a verdict that is there before its files, of what is asked only', () => {
    const ahead = (has: 'stitches' | 'verdict', revision: number): Job => ({
      ...job('planning', 3, 1),
      ahead: { revision, has, breaks_per_100_caps: { mean: 2 }, words: 'about 2' },
    });
    const seen = (next: Job) => reduce(loaded('done'), { type: 'loaded', job: next, view: null });
    expect(phaseOf(seen(ahead('verdict', 3)))).toBe('shown');
    expect(phaseOf(seen(ahead('verdict', 2)))).toBe('computing');
    expect(phaseOf(seen(ahead('stitches', 3)))).toBe('computing');
    expect(seen(ahead('stitches', 3)).quick).toBe('about 2');
    expect(seen(ahead('stitches', 2)).quick).toBeNull();
    expect(seen(ahead('verdict', 3)).quick).toBeNull();
  });

  it('knows when a view would be the same again', () => {
    const drawing: Job = {
      ...job('planning', 2, 1),
      ahead: { revision: 2, has: 'verdict', breaks_per_100_caps: { mean: 2 }, words: '' },
    };
    expect(seenOf(drawing)).toBe(seenOf(job('done', 2, 2)));
    expect(seenOf(drawing)).not.toBe(seenOf(job('planning', 2, 1)));
    expect(seenOf(job('empty', 1, 0))).toBe('');
  });

  it('does not heed the progress of a change that was overtaken', () => {
    const page = loaded('planning', 3, 1);
    const late = reduce(page, {
      type: 'progress',
      progress: { revision: 2, stage: 'filling', done: 1, of: 5 },
    });
    expect(late.progress).toBeNull();
  });

  it('says how far planning is', () => {
    expect(progressInWords({ revision: 1, stage: 'stitching the border', done: 3, of: 5 })).toBe(
      'Planning: 3 of 5, stitching the border',
    );
    expect(progressInWords(null)).toBe('Planning');
  });

  it('finds the blank that a fault speaks of', () => {
    const fault = (where: string, what: string): Fault => ({ code: 'bad', where, what, hint: '' });
    expect(keyIn(fault('bench: foot_mm (line 1)', 'is 22'))).toBe('bench.foot_mm');
    expect(keyIn(fault('', 'artwork.height_mm is 900'))).toBe('artwork.height_mm');
    expect(keyIn(fault('gap 1', 'is 22'))).toBe('gap');
    expect(keyIn(null)).toBeNull();
  });
});
