// One job: ticket, verdict, chart, strip, cap, drivers, changes, worst places, gap card.
import { useCallback, useEffect, useState } from 'preact/hooks';
import { api } from '../api';
import type { Source } from '../parts/ArtworkSheet';
import { ArtworkSheet, fileSource } from '../parts/ArtworkSheet';
import { useFileDrop } from '../parts/drop';
import { FaultNote } from '../parts/FaultNote';
import { JobBar } from '../parts/JobBar';
import { Ticket } from '../parts/Ticket';
import { TopBar } from '../parts/TopBar';
import { type Phase, phaseOf } from '../state/job_state';
import { useUnits } from '../state/units';
import { faultFrom, type JobHandle, useJob } from '../state/use_job';
import { useLists } from '../state/use_lists';
import type { Fault, Job } from '../types';
import { JobGrid } from './JobGrid';

/** The artwork of a running job changes, or a dropped file takes its place. */
function useSource(handle: JobHandle) {
  const [fault, setFault] = useState<Fault | null>(null);
  const take = useCallback(
    (source: Source) => {
      setFault(null);
      void handle.change(source.asked, `Artwork: ${source.words}`);
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
        <JobBar job={job} units={units} onUnits={setUnits} handle={handle} lists={lists} />
      </TopBar>
      <main>
        <Ticket
          job={job}
          lists={lists}
          units={units}
          fault={source.fault ?? (page.isLost ? null : page.fault)}
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
        <JobGrid
          job={job}
          phase={phase}
          handle={handle}
          units={units}
          lists={lists}
          begin={<ArtworkSheet fonts={lists?.fonts ?? []} onSource={source.take} />}
        />
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
