// Playback: the needle goes along the job, as fast as it is sewn or faster.
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { entryAt, type Plan } from './plan';
import { wantsStill } from './useSize';

const kRates = [1, 10, 60] as const;

export function SewAlong({
  plan,
  at,
  playing,
  onPlaying,
  onCursor,
}: {
  plan: Plan;
  at: number;
  playing: boolean;
  onPlaying: (playing: boolean) => void;
  onCursor: (entry: number) => void;
}) {
  const [rate, setRate] = useState<number>(10);
  const group = useId();
  const now = useRef({ at, onCursor, onPlaying });
  now.current = { at, onCursor, onPlaying };
  useEffect(() => {
    if (!playing) return;
    const { time_s } = plan.view.entries;
    const end = time_s.at(-1) ?? 0;
    const begin = now.current.at >= plan.n - 1 ? 0 : (time_s[now.current.at] ?? 0);
    const started = performance.now();
    const step = () => {
      const seconds = begin + ((performance.now() - started) / 1000) * rate;
      const entry = entryAt(time_s, seconds);
      if (entry !== now.current.at) now.current.onCursor(entry);
      if (seconds >= end) now.current.onPlaying(false);
    };
    // Where less motion is asked for, twice a second is enough to follow.
    if (wantsStill()) {
      const timer = setInterval(step, 500);
      return () => clearInterval(timer);
    }
    let frame = requestAnimationFrame(function next() {
      step();
      frame = requestAnimationFrame(next);
    });
    return () => cancelAnimationFrame(frame);
  }, [playing, rate, plan]);
  if (!plan.n) return null;
  return (
    <div class="sew-along">
      <button type="button" onClick={() => onPlaying(!playing)}>
        {playing ? 'Hold' : 'Sew along'}
      </button>
      <fieldset>
        <legend class="unseen">How fast</legend>
        {kRates.map((value) => (
          <label key={value}>
            <input
              type="radio"
              name={group}
              checked={rate === value}
              onChange={() => setRate(value)}
            />
            <span>{value === 1 ? 'as sewn' : `${value} ×`}</span>
          </label>
        ))}
      </fieldset>
    </div>
  );
}
