// The parts of a job's page, each where the look has it.
import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { Cap, Chart, RunStrip, Unfit } from '../drawing';
import { Changes } from '../parts/Changes';
import { Drivers } from '../parts/Drivers';
import { GapCard } from '../parts/GapCard';
import { Head } from '../parts/Head';
import { Length } from '../parts/Length';
import { Offers } from '../parts/Offers';
import { AsTable } from '../parts/Table';
import { RadioRow } from '../parts/TopBar';
import { VerdictPart } from '../parts/Verdict';
import { Worst } from '../parts/Worst';
import { reachUp } from '../state/gaps';
import { type Phase, viewToDraw } from '../state/job_state';
import type { JobHandle } from '../state/use_job';
import { useIsPhone } from '../state/use_phone';
import type { Job, Lists, Shading, Units, View } from '../types';
import { blockTable, worstTable } from '../words/tables';

const kShadings: { value: Shading; words: string }[] = [
  { value: 'threads', words: 'threads' },
  { value: 'hazard', words: 'hazard' },
  { value: 'time', words: 'time' },
];

interface GridProps {
  job: Job;
  phase: Phase;
  handle: JobHandle;
  units: Units;
  lists: Lists | null;
  begin: ComponentChildren;
}

export function JobGrid({ job, phase, handle, units, lists, begin }: GridProps) {
  const view = viewToDraw(handle.page);
  const [cursor, setCursor] = useState<number | null>(null);
  const [sewnTo, setSewnTo] = useState<number | null>(null);
  const revision = view?.revision;
  // A new plan has other stitches: what pointed at the old ones points nowhere.
  useEffect(() => {
    setCursor(null);
    setSewnTo(null);
  }, [revision]);
  const jump = (entry: number) => {
    setCursor(entry);
    setSewnTo(null);
  };
  const sew = (entry: number) => {
    setCursor(entry);
    setSewnTo(view && entry < view.entries.op.length - 1 ? entry : null);
  };
  const isSewn = view !== null && view.entries.op.length > 0 && phase !== 'empty';
  const shared = { view, units, cursor, stale: phase === 'stale' };
  return (
    <div class={`grid${isSewn ? '' : ' bare'}`}>
      <VerdictPart page={handle.page} phase={phase} handle={handle} begin={begin} />
      <div class="left">
        {view && (
          <ChartPart {...shared} view={view} onCursor={jump} sewnTo={sewnTo} phase={phase} />
        )}
        {view && isSewn && <StripPart {...shared} view={view} onCursor={sew} />}
        {view && isSewn && <Worst view={view} units={units} onCursor={jump} />}
      </div>
      <div class="todo">
        {phase === 'refused' || (job.verdict?.offers.length && job.verdict.verdict === 'refuse') ? (
          <Offers
            job={job}
            lists={lists}
            units={units}
            onTake={(set, words) => void handle.change({ set }, words)}
          />
        ) : (
          isSewn && job.verdict && <Changes job={job} phase={phase} handle={handle} />
        )}
        {view && <GapCard job={job} view={view} units={units} handle={handle} />}
      </div>
      <div class="seen">
        {view && <CapPart view={view} cursor={cursor} sewnTo={sewnTo} units={units} />}
        <Drivers verdict={job.verdict} hides={phase === 'empty'} />
        {view && isSewn && <HazardPart {...shared} view={view} onCursor={jump} />}
      </div>
      <NotesPart job={job} />
    </div>
  );
}

interface DrawnProps {
  view: View;
  units: Units;
  cursor: number | null;
  stale: boolean;
  onCursor: (entry: number) => void;
}

function ChartPart({
  sewnTo,
  phase,
  ...drawn
}: DrawnProps & { sewnTo: number | null; phase: Phase }) {
  const [shading, setShading] = useState<Shading>('threads');
  const isPhone = useIsPhone();
  const { unfit } = drawn.view;
  return (
    <section class="a-chart" aria-labelledby="h-chart">
      <Head name="Crown chart" id="h-chart">
        {drawn.view.entries.op.length > 0 && (
          <RadioRow
            name="Shade by"
            face="seg"
            lead="Shade by"
            choices={kShadings}
            value={shading}
            onPick={(value) => setShading(value as Shading)}
          />
        )}
      </Head>
      <Chart
        {...drawn}
        shading={shading}
        sewnTo={sewnTo}
        phone={isPhone}
        {...(unfit && { over: (camera) => <Unfit unfit={unfit} camera={camera} /> })}
      />
      {unfit && unfit.outside.length > 0 && (
        <p class="small">Hatched: what of the artwork the needle cannot reach here.</p>
      )}
      <AsTable make={() => worstTable(drawn.view, drawn.units)} />
    </section>
  );
}

const kSteps = [1, 2, 3, 4, 5, 6];

/** The chart once more, small and shaded: where risk lies, whatever the large one shows. */
function HazardPart(drawn: DrawnProps) {
  return (
    <section class="a-haz" aria-labelledby="h-hazard">
      <Head name="Shaded by hazard" id="h-hazard" />
      <Chart {...drawn} cursor={null} shading="hazard" sewnTo={null} phone plain />
      <div
        class="ramp"
        role="img"
        aria-label="Shades of hazard: from 1 in 10 million stitches to 1 in 8,000 or more"
      >
        {kSteps.map((step) => (
          <i key={step} class={`hz${step}`} />
        ))}
        <span>1 in 10 million stitches</span>
        <span>1 in 8,000 or more</span>
      </div>
    </section>
  );
}

function StripPart(drawn: DrawnProps) {
  const [isPlaying, setPlaying] = useState(false);
  return (
    <section class="a-strip" aria-labelledby="h-strip">
      <Head name="Run strip" id="h-strip" />
      <RunStrip
        {...drawn}
        playing={isPlaying}
        onPlaying={setPlaying}
        bestHazard={drawn.view.best_hazard}
      />
      <AsTable make={() => blockTable(drawn.view)} />
    </section>
  );
}

function CapPart({
  view,
  cursor,
  sewnTo,
  units,
}: {
  view: View;
  cursor: number | null;
  sewnTo: number | null;
  units: Units;
}) {
  const [low, high] = reachUp(view);
  return (
    <section class="a-cap" aria-labelledby="h-cap">
      <Head name="On the cap" id="h-cap" />
      <Cap view={view} cursor={cursor} sewnTo={sewnTo} />
      <p class="capn">
        <span>drag to turn</span>
        {view.entries.op.length > 0 && (
          <span>
            <Length mm={high - low} units={units} />
          </span>
        )}
      </p>
    </section>
  );
}

/** What was decided about the artwork, what practice says, and what to take care of. */
function NotesPart({ job }: { job: Job }) {
  const verdict = job.verdict;
  if (!verdict) return null;
  const broken = verdict.practice.filter((rule) => !rule.kept);
  return (
    <section class="a-notes" aria-labelledby="h-notes">
      <Head name="Take care" id="h-notes" />
      <ul class="cautions">
        {verdict.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      {(verdict.notes.length > 0 || broken.length > 0) && (
        <details class="notes">
          <summary>
            Decided about the artwork, and beyond common practice (
            {verdict.notes.length + broken.length})
          </summary>
          <ul>
            {broken.map((rule) => (
              <li key={rule.id}>
                {rule.what ?? rule.id}: {rule.value} {rule.unit}; usual is {rule.limit} {rule.unit}
              </li>
            ))}
            {verdict.notes.map((note) => (
              <li key={`${note.kind} ${note.source} ${note.why}`}>
                {note.why} <small>{note.source}</small>
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}
