// One job: ticket, verdict, chart, strip, cap, drivers, changes, worst places, gap card.
import { useCallback, useEffect, useState } from 'preact/hooks';
import { api } from '../api';
import { Cap, Chart, RunStrip } from '../drawing';
import type { Source } from '../parts/ArtworkSheet';
import { fileSource } from '../parts/ArtworkSheet';
import { Changes } from '../parts/Changes';
import { Drivers } from '../parts/Drivers';
import { useFileDrop } from '../parts/drop';
import { FaultNote } from '../parts/FaultNote';
import { GapCard } from '../parts/GapCard';
import { Head } from '../parts/Head';
import { JobBar } from '../parts/JobBar';
import { Length } from '../parts/Length';
import { Offers } from '../parts/Offers';
import { AsTable } from '../parts/Table';
import { Ticket } from '../parts/Ticket';
import { RadioRow, TopBar } from '../parts/TopBar';
import { VerdictPart } from '../parts/Verdict';
import { Worst } from '../parts/Worst';
import { reachUp } from '../state/gaps';
import { type Phase, phaseOf, viewToDraw } from '../state/job_state';
import { useUnits } from '../state/units';
import { faultFrom, type JobHandle, useJob } from '../state/use_job';
import { useLists } from '../state/use_lists';
import { useIsPhone } from '../state/use_phone';
import type { Fault, Job, Lists, Shading, Units, View } from '../types';
import { blockTable, speedWords, worstTable } from '../words/tables';

const kShadings: { value: Shading; words: string }[] = [
  { value: 'threads', words: 'threads' },
  { value: 'hazard', words: 'hazard' },
  { value: 'time', words: 'time' },
];

/** The artwork of a running job changes, or a dropped file takes its place. */
function useSource(handle: JobHandle) {
  const [fault, setFault] = useState<Fault | null>(null);
  const take = useCallback(
    (source: Source) => {
      setFault(null);
      const set = source.artwork ? [`artwork=${source.artwork}`, ...source.set] : source.set;
      void handle.change(set, `Artwork: ${source.words}`);
    },
    [handle.change],
  );
  const onFile = useCallback(
    (file: File) => {
      api.upload(file).then(
        (artwork) => take(fileSource(artwork)),
        (error) => setFault(faultFrom(error)),
      );
    },
    [take],
  );
  const isOver = useFileDrop(onFile);
  return { take, isOver, fault, leave: () => setFault(null) };
}

function AboutJob({ job }: { job: Job }) {
  const order = job.settings.order as { caps?: number; customer?: string } | undefined;
  const parts = [order?.customer, order?.caps ? `order of ${order.caps}` : null].filter(Boolean);
  return (
    <>
      <h1>{job.title || 'New job'}</h1>
      {parts.length > 0 && <span> · {parts.join(' · ')}</span>}
    </>
  );
}

export function JobPage({ id }: { id: string }) {
  const handle = useJob(id);
  const { page } = handle;
  const [units, setUnits] = useUnits();
  const lists = useLists();
  const source = useSource(handle);
  const phase = phaseOf(page);
  const { job } = page;
  const title = job?.title;
  useEffect(() => {
    document.title = title ? `${title}: Buckram` : 'Buckram';
  }, [title]);
  if (!job) {
    return (
      <div class="page">
        <TopBar />
        <main class="lone">
          {page.fault ? <FaultNote fault={page.fault} /> : <p class="vs">Fetching the job.</p>}
        </main>
      </div>
    );
  }
  return (
    <div class={`page is-${phase}${source.isOver ? ' is-over' : ''}`}>
      <TopBar about={<AboutJob job={job} />}>
        <JobBar job={job} units={units} onUnits={setUnits} handle={handle} />
      </TopBar>
      <main>
        <Ticket
          job={job}
          lists={lists}
          units={units}
          fault={source.fault ?? page.fault}
          faultKey={page.faultKey}
          change={handle.change}
          onSource={source.take}
        />
        <ProgressLine phase={phase} handle={handle} />
        {page.isLost && (
          <p class="lost" role="status">
            Buckram does not answer; trying again. What was planned is on disk.
          </p>
        )}
        <JobGrid job={job} phase={phase} handle={handle} units={units} lists={lists} />
      </main>
      {source.isOver && <p class="over-note">Drop it: it becomes this job’s artwork</p>}
    </div>
  );
}

function ProgressLine({ phase, handle }: { phase: Phase; handle: JobHandle }) {
  const progress = handle.page.progress;
  const share =
    phase !== 'computing'
      ? 0
      : progress && progress.of > 0
        ? Math.max(0.04, progress.done / progress.of)
        : 0.02;
  return (
    <div class="progress" aria-hidden="true">
      <i style={{ width: `${100 * share}%` }} />
    </div>
  );
}

interface GridProps {
  job: Job;
  phase: Phase;
  handle: JobHandle;
  units: Units;
  lists: Lists | null;
}

function JobGrid({ job, phase, handle, units, lists }: GridProps) {
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
      <VerdictPart page={handle.page} phase={phase} handle={handle} />
      {view && <ChartPart {...shared} view={view} onCursor={jump} sewnTo={sewnTo} phase={phase} />}
      {view && isSewn && <StripPart {...shared} view={view} onCursor={sew} />}
      {view && <CapPart view={view} cursor={cursor} units={units} />}
      <Drivers verdict={job.verdict} hides={phase === 'empty'} />
      {phase === 'refused' || (job.verdict?.offers.length && job.verdict.verdict === 'refuse') ? (
        <Offers
          job={job}
          lists={lists}
          units={units}
          onTake={(set, words) => void handle.change(set, words)}
        />
      ) : (
        isSewn && <Changes job={job} phase={phase} handle={handle} />
      )}
      {view && isSewn && <Worst view={view} onCursor={jump} />}
      {view && <GapCard job={job} view={view} units={units} handle={handle} />}
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
  return (
    <section class="a-chart" aria-labelledby="h-chart">
      <Head name="Crown chart" id="h-chart">
        {phase !== 'empty' && (
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
      <Chart {...drawn} shading={shading} sewnTo={sewnTo} phone={isPhone} />
      <AsTable make={() => worstTable(drawn.view, drawn.units)} />
    </section>
  );
}

function StripPart(drawn: DrawnProps) {
  const [isPlaying, setPlaying] = useState(false);
  return (
    <section class="a-strip" aria-labelledby="h-strip">
      <Head name="Run strip" id="h-strip">
        <span class="note">{speedWords(drawn.view)}</span>
      </Head>
      <RunStrip {...drawn} playing={isPlaying} onPlaying={setPlaying} bestHazard={null} />
      <AsTable make={() => blockTable(drawn.view)} />
    </section>
  );
}

function CapPart({ view, cursor, units }: { view: View; cursor: number | null; units: Units }) {
  const [low, high] = reachUp(view);
  return (
    <section class="a-cap" aria-labelledby="h-cap">
      <Head name="On the cap" id="h-cap" />
      <Cap view={view} cursor={cursor} />
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
