// The floor page's state: the job's facts, ticks, the cap that is on, and the log of breaks, kept here
// where the server does not answer and sent when it does.
import { useCallback, useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { Refusal } from '../api';
import type { Fault, View } from '../types';
import { type BreakToLog, type Floor, floorApi, type LoggedBreak, type Ticks } from './floorApi';
import { type Kept, type KeptBreak, readKept, writeKept } from './kept';

const kAgain_ms = 15_000;

const faultOf = (error: unknown): Fault =>
  error instanceof Refusal
    ? error.fault
    : { code: 'page', what: String(error), where: '', hint: 'Load the page again.' };

const isAway = (error: unknown) => error instanceof Refusal && error.status === 0;

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
  log: (told: BreakToLog, stitch: number) => void;
  takeBack: (event: string) => void;
  dropWaiting: (id: string) => void;
}

export function useFloor(id: string): FloorHandle {
  const api = useMemo(() => floorApi(id), [id]);
  const [facts, setFacts] = useState<Floor | null>(null);
  const [view, setView] = useState<View | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const [away, setAway] = useState(false);
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

  const sendTicks = useCallback(async () => {
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
  }, [api, keep, failed]);

  const sendWaiting = useCallback(async () => {
    for (const each of [...now.current.kept.breaks]) {
      try {
        const { entry, needle, cap, note, broke } = each;
        await api.logBreak({ entry, needle, cap, note, broke });
        keep((k) => ({ ...k, breaks: k.breaks.filter((b) => b.id !== each.id) }));
        setBreaks((await api.breaks()).breaks);
        setAway(false);
      } catch (error) {
        failed(error);
        return;
      }
    }
  }, [api, keep, failed]);

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
    return () => {
      window.removeEventListener('online', again);
      document.removeEventListener('visibilitychange', again);
    };
  }, [catchUp]);

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
      const at = new Date().toISOString();
      const each = { ...told, id: `${at} ${told.entry}`, at, stitch };
      keep((k) => ({ ...k, breaks: [...k.breaks, each] }));
      void sendWaiting();
    },
    takeBack(event) {
      api
        .takeBack(event)
        .then(() => setBreaks((all) => all.filter((b) => b.event !== event)), failed);
    },
    dropWaiting: (gone) => keep((k) => ({ ...k, breaks: k.breaks.filter((b) => b.id !== gone) })),
  };
}
