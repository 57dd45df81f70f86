// Changes worth making: a switch, what to do and why, what it saves and what it takes.
import { useEffect, useState } from 'preact/hooks';
import { hasVerdictAhead, type Phase } from '../state/job_state';
import { mergeRows, type Row, type Step, switchChosen, switchRow } from '../state/rows';
import type { JobHandle } from '../state/use_job';
import type { Job, Verdict } from '../types';
import { togetherInWords } from '../words/changes';
import { figure, signed, timeChange } from '../words/figures';
import { numberWord, rangeInWords } from '../words/verdict';
import { Head } from './Head';

const keptAt = (id: string) => `buckram.rows.${id}`;

function rowsKept(id: string): Row[] {
  try {
    return JSON.parse(sessionStorage.getItem(keptAt(id)) ?? '[]') as Row[];
  } catch {
    return [];
  }
}

function useRows(job: Job): [Row[], (rows: Row[]) => void] {
  const [rows, setRows] = useState<Row[]>(() => mergeRows(rowsKept(job.id), job));
  const { verdict, words, settings } = job;
  const isSettled = job.state !== 'planning' || hasVerdictAhead(job);
  useEffect(() => {
    if (isSettled) setRows((old) => mergeRows(old, { verdict, words, settings }));
  }, [verdict, words, settings, isSettled]);
  useEffect(() => {
    try {
      sessionStorage.setItem(keptAt(job.id), JSON.stringify(rows));
    } catch {
      // Then a reload forgets which rows were switched on; the job does not.
    }
  }, [rows, job.id]);
  return [rows, setRows];
}

function RowOf({
  row,
  mean,
  isWaiting,
  onSwitch,
}: {
  row: Row;
  mean: number;
  isWaiting: boolean;
  onSwitch: () => void;
}) {
  const whole = row.isOn ? mean - row.breaks : mean;
  const left = whole > 0 ? Math.max(0, Math.min(1, (whole + row.breaks) / whole)) : 0;
  return (
    <li>
      <button
        type="button"
        class="sw"
        role="switch"
        aria-checked={row.isOn}
        aria-label={row.told.words}
        aria-disabled={isWaiting}
        onClick={() => !isWaiting && onSwitch()}
      />
      <div>
        <div class="what">{row.told.words}</div>
        <div class="why">
          {row.told.why}
          {row.told.caution && `. ${row.told.caution}`}
        </div>
      </div>
      <div class="effect">
        <b>{signed(row.breaks)}</b>
        <small>{timeChange(row.time_s)}</small>
        <div class="bar" aria-hidden="true">
          <i style={{ width: `${100 * (1 - left)}%` }} />
        </div>
      </div>
    </li>
  );
}

function BestSet({ verdict, rows, isWaiting, onSwitch }: BestSetProps) {
  const chosen = rows.filter((row) => row.isChosen && !row.isOn);
  const best = verdict.best_breaks_per_100_caps;
  const n = chosen.length;
  if (n === 0 || !best) return null;
  const ends = best.mean <= verdict.limit_breaks_per_100;
  return (
    <div class="bestset">
      <p>
        {togetherInWords(chosen.map((row) => row.id))}: about <b>{figure(best.mean)}</b> per 100,{' '}
        {rangeInWords(best)}.{' '}
        {ends && (
          <>
            Verdict <b>run</b>.
          </>
        )}
      </p>
      <button type="button" class="btn" disabled={isWaiting} onClick={onSwitch}>
        {n === 1 ? 'Switch this on' : `Switch on these ${numberWord(n).toLowerCase()}`}
      </button>
    </div>
  );
}

interface BestSetProps {
  verdict: Verdict;
  rows: Row[];
  isWaiting: boolean;
  onSwitch: () => void;
}

interface Props {
  job: Job;
  phase: Phase;
  handle: JobHandle;
}

export function Changes({ job, phase, handle }: Props) {
  const [rows, setRows] = useRows(job);
  const isWaiting = phase === 'stale';
  const take = (step: Step) => {
    if (step.set.length === 0) return;
    setRows(step.rows);
    void handle.change({ set: step.set }, step.words);
  };
  const mean = job.verdict?.breaks_per_100_caps?.mean ?? 0;
  return (
    <section class="a-chg" aria-labelledby="h-changes">
      <Head name="Changes worth making" id="h-changes">
        <span class="note end">breaks per 100 caps</span>
      </Head>
      {rows.length === 0 && (
        <p class="small">Nothing on the bench takes away a hundredth of a break.</p>
      )}
      <ul class="changes">
        {rows.map((row) => (
          <RowOf
            key={row.id}
            row={row}
            mean={mean}
            isWaiting={isWaiting}
            onSwitch={() => take(switchRow(rows, row.id))}
          />
        ))}
      </ul>
      {job.verdict && (
        <BestSet
          verdict={job.verdict}
          rows={rows}
          isWaiting={isWaiting}
          onSwitch={() => take(switchChosen(rows))}
        />
      )}
      {phase === 'shown' && (
        <p class="small">
          <button type="button" class="quiet" onClick={handle.improve}>
            Find the best of stitches and bench
          </button>{' '}
          plans with other stitches too and takes the set that costs least.
        </p>
      )}
    </section>
  );
}
