// A job as the page shows it: loads it, hears its events, asks for changes.
import { useCallback, useEffect, useMemo, useReducer, useRef } from 'preact/hooks';
import { api, Refusal } from '../api';
import type { Ask, Fault, Job, Patched, View } from '../types';
import { emptyView, type JobPage, kStart, reduce, seenOf } from './job_state';

export interface JobHandle {
  page: JobPage;
  change: (asked: Ask, words: string) => Promise<void>;
  undo: () => void;
  redo: () => void;
  stop: () => void;
  improve: () => void;
  planAgain: () => void;
  typeGaps: (set: string[], words: string) => void;
  forgetTyped: () => void;
}

async function viewOf(job: Job): Promise<View | null> {
  try {
    const isThere = job.shown_revision > 0 || job.ahead !== null;
    if (isThere && job.state !== 'empty') return await api.view(job.id);
  } catch (error) {
    if (!(error instanceof Refusal) || error.status !== 404) throw error;
  }
  return emptyView(await api.ground([], job.id));
}

export const faultFrom = (error: unknown): Fault =>
  error instanceof Refusal
    ? error.fault
    : { code: 'page', what: String(error), where: 'this page', hint: 'Load it again.' };

export function useJob(id: string): JobHandle {
  const [page, dispatch] = useReducer(reduce, kStart);
  const turn = useRef(0);
  const seen = useRef('');
  seen.current = page.seen;
  const typing = useRef<AbortController | null>(null);

  const load = useCallback(async () => {
    const mine = ++turn.current;
    try {
      const job = await api.job(id);
      const next = seenOf(job);
      // The same stitches and figures are not fetched, and drawn, a second time.
      const view = next !== '' && next === seen.current ? null : await viewOf(job);
      const isOfJob = !view || next.startsWith(`${view.revision} `);
      if (mine === turn.current) dispatch({ type: 'loaded', job, view, seen: isOfJob ? next : '' });
    } catch (error) {
      if (mine === turn.current) dispatch({ type: 'failed', fault: faultFrom(error), key: null });
    }
  }, [id]);

  useEffect(() => {
    void load();
    const stopListening = api.listen(id, {
      onState: (job) => dispatch({ type: 'state', job }),
      onProgress: (progress) => dispatch({ type: 'progress', progress }),
      onShown: () => void load(),
      onAhead: () => void load(),
      onFailed: () => void load(),
      onCancelled: () => {
        dispatch({ type: 'cancelled' });
        void load();
      },
      onLost: () => dispatch({ type: 'lost' }),
      onBack: () => void load(),
    });
    return () => {
      turn.current++;
      stopListening();
    };
  }, [id, load]);

  const send = useCallback(
    async (request: () => Promise<Patched>, key: string | null) => {
      try {
        const answer = await request();
        const quick = answer.quick?.words ?? null;
        dispatch({ type: 'asked', revision: answer.revision, quick });
        void load();
      } catch (error) {
        dispatch({ type: 'failed', fault: faultFrom(error), key });
      }
    },
    [load],
  );

  return useMemo(
    () => ({
      page,
      change: async (asked, words) => {
        dispatch({ type: 'typedAsked' });
        await send(() => api.patch(id, asked, words), asked.set?.[0]?.split('=')[0] ?? null);
      },
      undo: () => void send(() => api.undo(id), null),
      redo: () => void send(() => api.redo(id), null),
      improve: () => void send(() => api.improve(id), null),
      planAgain: () => void send(() => api.patch(id, {}, 'Plan again'), null),
      stop: () =>
        void api
          .cancel(id)
          .catch((error) => dispatch({ type: 'failed', fault: faultFrom(error), key: null })),
      typeGaps: (set, words) => {
        typing.current?.abort();
        typing.current = new AbortController();
        const { signal } = typing.current;
        dispatch({ type: 'typed', ground: null, words });
        api.ground(set, id, signal).then(
          (ground) => signal.aborted || dispatch({ type: 'typed', ground, words }),
          (error) =>
            signal.aborted || dispatch({ type: 'failed', fault: faultFrom(error), key: 'gap' }),
        );
      },
      forgetTyped: () => {
        typing.current?.abort();
        dispatch({ type: 'typedDone' });
      },
    }),
    [page, id, send],
  );
}
