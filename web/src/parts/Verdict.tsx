// One word in a box, one sentence, one number with its interval against the shop's limit.
import type { ComponentChildren } from 'preact';
import type { JobPage, Phase } from '../state/job_state';
import { progressInWords } from '../state/job_state';
import type { JobHandle } from '../state/use_job';
import type { Job, Verdict } from '../types';
import { duration, thousands } from '../words/figures';
import { orderInWords, piecesOf } from '../words/verdict';
import { Head } from './Head';
import { Interval } from './Interval';

interface Props {
  page: JobPage;
  phase: Phase;
  handle: JobHandle;
  /** What to begin with, where nothing is there yet. */
  begin: ComponentChildren;
}

export function Sentence({ job }: { job: Job }) {
  // A refusal for want of room speaks of its offer's breaks: nothing breaks as asked.
  const isRisk = job.verdict?.verdict !== 'run' && job.verdict?.breaks_per_100_caps != null;
  return (
    <>
      {piecesOf(job.words?.sentence ?? '', isRisk).map((piece) =>
        typeof piece === 'string' ? piece : <b key={piece.risk}>{piece.risk}</b>,
      )}
    </>
  );
}

const count = (n: number, one: string, many: string) => `${thousands(n)} ${n === 1 ? one : many}`;

export function perCapWords(verdict: Verdict | null): string {
  const cap = verdict?.per_cap;
  if (!cap) return '';
  return [
    count(cap.stitches, 'stitch', 'stitches'),
    `${duration(cap.time_s)} a cap`,
    count(cap.trims, 'trim', 'trims'),
    count(cap.thread_changes, 'thread change', 'thread changes'),
  ].join(' · ');
}

/** The verdict's word; madder where needles would break, ink where nothing warns of that. */
export function Stamp({ verdict, isStruck }: { verdict: Verdict; isStruck: boolean }) {
  const isRisk = verdict.verdict !== 'run' && verdict.breaks_per_100_caps !== null;
  const face = `stamp${isRisk ? ' risk' : ''}${isStruck ? ' struck' : ''}`;
  return <span class={face}>{verdict.verdict}</span>;
}

export function bestWordsOf(verdict: Verdict): string {
  const n = verdict.changes.filter((change) => change.chosen).length;
  const words = ['', 'best change', 'best two', 'best three', 'best four', 'best five', 'best six'];
  return `with the ${words[n] ?? `best ${n}`}`;
}

function Numbers({ verdict }: { verdict: Verdict }) {
  const now = verdict.breaks_per_100_caps;
  if (!now) return null;
  const hasBest = verdict.verdict !== 'run' && verdict.changes.some((change) => change.chosen);
  return (
    <Interval
      now={now}
      best={hasBest ? verdict.best_breaks_per_100_caps : null}
      limit={verdict.limit_breaks_per_100}
      bestWords={bestWordsOf(verdict)}
    />
  );
}

/** What stands under the sentence: how far planning is, or what has gone out of date. */
function Standing({ page, phase, handle }: Props) {
  if (phase === 'computing') {
    return (
      <p class="standing" role="status">
        <span>{progressInWords(page.progress)}</span>{' '}
        <button type="button" class="btn2" onClick={handle.stop}>
          Stop
        </button>
      </p>
    );
  }
  if (phase !== 'stale') return null;
  const why =
    page.typed?.words ??
    (page.job?.state === 'cancelled'
      ? 'planning was stopped'
      : (page.job?.undo ?? 'the ticket changed'));
  return (
    <p class="standing" role="status">
      <span>Out of date: {why.charAt(0).toLowerCase() + why.slice(1)}.</span>{' '}
      <button type="button" class="btn2" onClick={handle.planAgain}>
        Plan again
      </button>
    </p>
  );
}

function Lead({ page, phase }: Props) {
  const verdict = page.job?.verdict ?? null;
  if (phase === 'empty' || (!verdict && phase !== 'computing')) {
    return (
      <p class="vs">{phase === 'error' ? 'Nothing is planned yet.' : 'Choose artwork to begin.'}</p>
    );
  }
  if (page.quick !== null) {
    return (
      <p class="vs">
        <b>{page.quick.charAt(0).toUpperCase() + page.quick.slice(1)}</b>; the rest follows.
      </p>
    );
  }
  if (!verdict) return <p class="vs">The first plan is on its way.</p>;
  return <p class="vs">{page.job && <Sentence job={page.job} />}</p>;
}

export function VerdictPart(props: Props) {
  const { page, phase } = props;
  const verdict = page.job?.verdict ?? null;
  const isOld = phase === 'computing' || phase === 'stale' || phase === 'error';
  const caps = Number((page.job?.settings.order as { caps?: number } | undefined)?.caps ?? 1);
  return (
    <section class={`a-verdict${isOld ? ' old' : ''}`} aria-labelledby="h-verdict">
      <Head name="Verdict" id="h-verdict">
        {verdict && <Stamp verdict={verdict} isStruck={phase === 'stale' || page.quick !== null} />}
        <span class="note end">{perCapWords(verdict)}</span>
      </Head>
      <div class="vd">
        <div>
          <Lead {...props} />
          <Standing {...props} />
          {phase === 'empty' && props.begin}
          {verdict && phase !== 'empty' && (
            <p class="vp">
              {orderInWords(verdict, caps)} {honesty(verdict)}
            </p>
          )}
        </div>
        {verdict && <Numbers verdict={verdict} />}
      </div>
    </section>
  );
}

/** The last caution says how far the level can be trusted. */
export function honesty(verdict: Verdict): string {
  const said = verdict.cautions.find((caution) => caution.includes('estimate'));
  return (
    said?.replace('Forecasts are estimates, never a guarantee. ', '') ??
    'Forecasts are estimates, never a guarantee.'
  );
}
