// The floor page's state: the job's facts, ticks, the cap that is on, and the log of breaks, kept here
// where the server does not answer and sent when it does.
import { useCallback, useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { api as jobs, Refusal } from '../api';
import type { Fault, View } from '../types';
import { type BreakToLog, type Floor, floorApi, type LoggedBreak, type Ticks } from './floorApi';
import { type Kept, type KeptBreak, newEvent, readKept, writeKept } from './kept';

const kAgain_ms = 15_000;

const faultOf = (error: unknown): Fault =>
  error instanceof Refusal
    ? error.fault
    : { code: 'page', what: String(error), where: '', hint: 'Load the page again.' };

const isAway = (error: unknown) => error instanceof Refusal && error.status === 0;

/** One at a time: asked for while it is on, it is done once more afterwards. */
function useTurn(work: () => Promise<void>): () => Promise<void> {
  const turn = useRef<{ on: Promise<void> | null; isAsked: boolean }>({ on: null, isAsked: false });
  return useCallback(() => {
    const it = turn.current;
    it.isAsked = true;
    const inTurn = async () => {
      while (it.isAsked) {
        it.isAsked = false;
        await work();
      }
    };
    it.on ??= inTurn().finally(() => {
      it.on = null;
    });
    return it.on;
  }, [work]);
}

export interface FloorHandle {
  facts: Floor | null;
  view: View | null;
  fault: Fault | null;
  /** The server does not answer. */
  isAway: boolean;
  cap: number;
  setCap: (cap: number) => void;
  ticks: Ticks;
  tick: (id: string, is: boolean) => void;
  breaks: LoggedBreak[];
  waiting: KeptBreak[];
  /** On the cap that is on and the plan that is shown. */
  log: (told: Omit<BreakToLog, 'cap' | 'revision'>, stitch: number) => void;
  takeBack: (event: string) => void;
  dropWaiting: (event: string) => void;
  /** Another plan is shown than the one that was on the page before. */
  hasChanged: boolean;
  seeChange: () => void;
}

export function useFloor(id: string): FloorHandle {
  const api = useMemo(() => floorApi(id), [id]);
  const [facts, setFacts] = useState<Floor | null>(null);
  const [view, setView] = useState<View | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const [away, setAway] = useState(false);
  const [hasChanged, setHasChanged] = useState(false);
  const [sentTicks, setSentTicks] = useState<Ticks>({});
  const [breaks, setBreaks] = useState<LoggedBreak[]>([]);
  const [kept, setKept] = useState<Kept>(() => readKept(id));
  const ticks = kept.ticks ?? sentTicks;
  const now = useRef({ kept, revision: 0 });
  now.current.kept = kept;

  const keep = useCallback(
    (change: (kept: Kept) => Kept) => {
      const next = change(now.current.kept);
      now.current.kept = next;
      writeKept(id, next);
      setKept(next);
    },
    [id],
  );
  const failed = useCallback((error: unknown) => {
    if (isAway(error)) setAway(true);
    else setFault(faultOf(error));
  }, []);

  const fetchAll = useCallback(async () => {
    try {
      const floor = await api.floor();
      setAway(false);
      setFault(null);
      setFacts(floor);
      setBreaks(floor.breaks);
      setSentTicks(floor.ticks);
      if (floor.revision !== now.current.revision) {
        setView(await api.view());
        now.current.revision = floor.revision;
      }
    } catch (error) {
      failed(error);
    }
  }, [api, failed]);

  const sendTicks = useTurn(
    useCallback(async () => {
      const { ticks } = now.current.kept;
      if (!ticks) return;
      try {
        await api.tick(ticks);
        setSentTicks(ticks);
        keep((k) => (k.ticks === ticks ? { ...k, ticks: null } : k));
        setAway(false);
      } catch (error) {
        failed(error);
      }
    }, [api, keep, failed]),
  );

  const sendWaiting = useTurn(
    useCallback(async () => {
      const left = () => now.current.kept.breaks.filter((each) => !each.refused);
      for (let next = left()[0]; next; next = left()[0]) {
        const { stitch: _, ...told } = next;
        try {
          await api.logBreak(told);
          keep((k) => ({ ...k, breaks: k.breaks.filter((b) => b.event !== told.event) }));
          setBreaks((await api.breaks()).breaks);
          setAway(false);
        } catch (error) {
          if (isAway(error)) return failed(error);
          // It must not hold up those behind it.
          const refused = faultOf(error).what;
          const mark = (b: KeptBreak) => (b.event === told.event ? { ...b, refused } : b);
          keep((k) => ({ ...k, breaks: k.breaks.map(mark) }));
        }
      }
    }, [api, keep, failed]),
  );

  const catchUp = useCallback(async () => {
    await sendTicks();
    await fetchAll();
    await sendWaiting();
  }, [sendTicks, fetchAll, sendWaiting]);

  useEffect(() => {
    void catchUp();
    const again = () => {
      if (document.visibilityState !== 'hidden') void catchUp();
    };
    window.addEventListener('online', again);
    document.addEventListener('visibilitychange', again);
    const leave = jobs.listen(id, {
      onShown: (revision) => {
        if (!now.current.revision || revision === now.current.revision) return;
        setHasChanged(true);
        void fetchAll();
      },
      onBack: again,
    });
    return () => {
      window.removeEventListener('online', again);
      document.removeEventListener('visibilitychange', again);
      leave();
    };
  }, [id, catchUp, fetchAll]);

  useEffect(() => {
    if (!away) return;
    const timer = setInterval(() => void catchUp(), kAgain_ms);
    return () => clearInterval(timer);
  }, [away, catchUp]);

  return {
    facts,
    view,
    fault,
    isAway: away,
    cap: kept.cap,
    setCap: (cap) => keep((k) => ({ ...k, cap: Math.max(1, cap) })),
    ticks,
    tick(step, is) {
      const next = { ...(now.current.kept.ticks ?? sentTicks) };
      if (is) next[step] = true;
      else delete next[step];
      keep((k) => ({ ...k, ticks: next }));
      void sendTicks();
    },
    breaks,
    waiting: kept.breaks,
    log(told, stitch) {
      const { revision } = now.current;
      const at = new Date().toISOString();
      const each = { ...told, revision, cap: kept.cap, event: newEvent(), at, stitch };
      keep((k) => ({ ...k, breaks: [...k.breaks, each] }));
      void sendWaiting();
    },
    takeBack(event) {
      api
        .takeBack(event)
        .then(() => setBreaks((all) => all.filter((b) => b.event !== event)), failed);
    },
    dropWaiting: (gone) =>
      keep((k) => ({ ...k, breaks: k.breaks.filter((b) => b.event !== gone) })),
    hasChanged,
    seeChange: () => setHasChanged(false),
  };
}
