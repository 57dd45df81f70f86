// What the job page knows, and how each answer and event of the server changes it. Pure: no requests.
import type { Fault, Ground, Job, Progress, View } from '../types';

export interface JobPage {
  job: Job | null;
  view: View | null;
  /** The ground as the gap card has it, from the first digit until the plan that was made with it. */
  typed: { ground: Ground | null; words: string; isAsked: boolean } | null;
  progress: Progress | null;
  /** The view's part of the plan: which revision's, and whether its verdict was there. */
  seen: string;
  /** Breaks of a change whose whole verdict is still on its way, in words. */
  quick: string | null;
  fault: Fault | null;
  /** The blank that asked for what was refused; its key, as "artwork.height_mm". */
  faultKey: string | null;
  isLost: boolean;
}

export type JobEvent =
  | { type: 'loaded'; job: Job; view: View | null; seen?: string }
  | { type: 'state'; job: Partial<Job> }
  | { type: 'asked'; revision: number; quick: string | null }
  | { type: 'progress'; progress: Progress }
  | { type: 'cancelled' }
  | { type: 'failed'; fault: Fault; key: string | null }
  | { type: 'typed'; ground: Ground | null; words: string }
  | { type: 'typedAsked' }
  | { type: 'typedDone' }
  | { type: 'lost' }
  | { type: 'back' };

/** The states of the look's table; `loading` is the moment before the first answer. */
export type Phase = 'loading' | 'empty' | 'computing' | 'stale' | 'refused' | 'error' | 'shown';

export const kStart: JobPage = {
  job: null,
  view: null,
  seen: '',
  typed: null,
  progress: null,
  quick: null,
  fault: null,
  faultKey: null,
  isLost: false,
};

/** The verdict of what is asked is there, though its files are still being drawn. */
export const hasVerdictAhead = (job: Job): boolean =>
  job.state === 'planning' && job.ahead?.has === 'verdict' && job.ahead.revision === job.revision;

/** What the view of this job shows; empty where it has to be asked for each time. */
export function seenOf(job: Job): string {
  if (job.ahead) return `${job.ahead.revision} ${job.ahead.has}`;
  return job.shown_revision > 0 ? `${job.shown_revision} verdict` : '';
}

function quickOf(page: JobPage, job: Job): string | null {
  if (job.state !== 'planning' || hasVerdictAhead(job)) return null;
  return job.ahead?.revision === job.revision ? job.ahead.words : page.quick;
}

function loaded(page: JobPage, job: Job, view: View | null, seen: string): JobPage {
  const isPlanning = job.state === 'planning';
  return {
    ...page,
    job,
    view: view ?? page.view,
    seen,
    typed: (!isPlanning || hasVerdictAhead(job)) && page.typed?.isAsked ? null : page.typed,
    progress: isPlanning ? (job.progress ?? page.progress) : null,
    quick: quickOf(page, job),
    fault: job.state === 'failed' ? job.error : null,
    faultKey: job.state === 'failed' ? keyIn(job.error) : null,
    isLost: false,
  };
}

function asked(page: JobPage, revision: number, quick: string | null): JobPage {
  if (!page.job) return page;
  // A bench change keeps the stitches: its number is here at once, and nothing is sewn anew.
  const job: Job = { ...page.job, revision, state: 'planning' };
  return { ...page, job, quick, progress: null, fault: null, faultKey: null };
}

/** A digit (no ground yet), or the ground that answers it. */
function typed(page: JobPage, ground: Ground | null, words: string): JobPage {
  const old = page.typed;
  if (ground) return old ? { ...page, typed: { ...old, ground } } : page;
  return { ...page, typed: { ground: old?.ground ?? null, words, isAsked: false } };
}

export function reduce(page: JobPage, event: JobEvent): JobPage {
  switch (event.type) {
    case 'loaded':
      return loaded(page, event.job, event.view, event.seen ?? '');
    case 'state':
      return page.job ? { ...page, job: { ...page.job, ...event.job } } : page;
    case 'asked':
      return asked(page, event.revision, event.quick);
    case 'progress': {
      if (!page.job || event.progress.revision < page.job.revision) return page;
      return { ...page, progress: event.progress, job: { ...page.job, state: 'planning' } };
    }
    case 'cancelled':
      return page.job
        ? { ...page, progress: null, quick: null, job: { ...page.job, state: 'cancelled' } }
        : page;
    case 'failed':
      return {
        ...page,
        typed: page.typed?.isAsked ? null : page.typed,
        fault: event.fault,
        faultKey: event.key ?? keyIn(event.fault),
      };
    case 'typed':
      return typed(page, event.ground, event.words);
    case 'typedAsked':
      return page.typed ? { ...page, typed: { ...page.typed, isAsked: true } } : page;
    case 'typedDone':
      return { ...page, typed: null };
    case 'lost':
      return { ...page, isLost: true };
    case 'back':
      return { ...page, isLost: false };
  }
}

export function phaseOf(page: JobPage): Phase {
  if (!page.job) return page.fault ? 'error' : 'loading';
  const isAhead = hasVerdictAhead(page.job);
  if (page.job.state === 'planning' && !isAhead) return 'computing';
  if (page.job.state === 'empty') return 'empty';
  if (page.typed) return 'stale';
  if (page.job.state === 'failed') return 'error';
  if (page.job.state === 'cancelled') return 'stale';
  if (page.job.state === 'refused') return 'refused';
  return page.job.revision > page.job.shown_revision && !isAhead ? 'stale' : 'shown';
}

const kKey = /\b(artwork|cap|bench|gap|stitch|order|limit)[.:\s]+([a-z_]+)?/;

/** The blank that a fault speaks of: "bench: foot_mm (line 1)" and "bench.foot_mm" name the same. */
export function keyIn(fault: Fault | null): string | null {
  const m = fault ? kKey.exec(`${fault.where} ${fault.what}`) : null;
  if (!m) return null;
  return m[2] ? `${m[1]}.${m[2]}` : (m[1] ?? null);
}

/** "Planning: 3 of 5, stitching the border" */
export function progressInWords(progress: Progress | null): string {
  if (!progress) return 'Planning';
  const count = progress.of > 1 ? `${progress.done} of ${progress.of}, ` : '';
  return `Planning: ${count}${progress.stage}`;
}

/** The view to draw: with the ground as it is being typed. */
export function viewToDraw(page: JobPage): View | null {
  if (!page.view || !page.typed?.ground) return page.view;
  // What is typed moves the gap alone: the window stays where the stitches have it.
  const { window, usual } = page.view.ground;
  return { ...page.view, ground: { ...page.typed.ground, window, usual } };
}

/** A view of nothing but the ground. */
export function emptyView(ground: Ground): View {
  return {
    revision: 0,
    threads: [],
    objects: [],
    blocks: [],
    entries: { x: [], y: [], op: '', hazard: [], time_s: [] },
    best_hazard: null,
    time_s: 0,
    worst: [],
    unfit: null,
    ground,
  };
}
