// What can be taken back, the units, files, other jobs to compare with, floor page and run sheet.
import { useEffect, useState } from 'preact/hooks';
import { api } from '../api';
import { comparePath, floorPath, goTo, jobPath } from '../router';
import { hasVerdictAhead } from '../state/job_state';
import type { JobHandle } from '../state/use_job';
import type { Job, JobRow, Lists, Units } from '../types';
import { FileList, machineFile } from './Files';
import { Slip } from './Slip';
import { Link, UnitsSwitch } from './TopBar';

interface Props {
  job: Job;
  units: Units;
  onUnits: (units: Units) => void;
  handle: JobHandle;
  lists: Lists | null;
}

// While those of a newer plan are drawn, the old ones are nobody's: the page shows the new plan.
const isDrawing = (job: Job) => hasVerdictAhead(job);
const hasFiles = (job: Job) =>
  job.shown_revision > 0 && job.verdict?.per_cap != null && !isDrawing(job);

function UndoRedo({ job, handle }: { job: Job; handle: JobHandle }) {
  return (
    <>
      {job.undo && (
        <button type="button" class="undo" onClick={handle.undo} aria-keyshortcuts="Control+Z">
          <span>Undo: {job.undo}</span>
        </button>
      )}
      {job.redo && (
        <button
          type="button"
          class="undo"
          onClick={handle.redo}
          aria-keyshortcuts="Control+Shift+Z"
        >
          <span>Redo: {job.redo}</span>
        </button>
      )}
    </>
  );
}

/** Ctrl+Z and Ctrl+Shift+Z, but not while something is typed. */
function useUndoKeys(handle: JobHandle) {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z') return;
      if (event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement)
        return;
      event.preventDefault();
      if (event.shiftKey) handle.redo();
      else handle.undo();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, [handle]);
}

async function duplicate(id: string): Promise<void> {
  goTo(jobPath((await api.create({ copy_of: id })).id));
}

function Others({ id }: { id: string }) {
  const [jobs, setJobs] = useState<JobRow[] | null>(null);
  useEffect(() => {
    api.jobs().then(
      (answer) => setJobs(answer.jobs.filter((job) => job.id !== id)),
      () => setJobs([]),
    );
  }, [id]);
  if (!jobs) return <p class="small">Looking for other jobs.</p>;
  if (jobs.length === 0)
    return (
      <p class="small">There is no other job. Duplicate this one, change the copy, then compare.</p>
    );
  return (
    <ul class="picks">
      {jobs.slice(0, 12).map((job) => (
        <li key={job.id}>
          <Link to={comparePath(id, job.id)}>
            {job.title}
            <small>
              {' '}
              {job.cap}, {job.mount}
            </small>
          </Link>
        </li>
      ))}
    </ul>
  );
}

export function JobBar({ job, units, onUnits, handle, lists }: Props) {
  useUndoKeys(handle);
  const files = <FileList id={job.id} machine={machineFile(job.layout, lists)} />;
  const copy = (
    <button type="button" onClick={() => void duplicate(job.id)}>
      Duplicate
    </button>
  );
  return (
    <>
      <span class="hide">
        <UndoRedo job={job} handle={handle} />
      </span>
      <span class="hide">
        <UnitsSwitch units={units} onUnits={onUnits} />
      </span>
      <span class="hide">{copy}</span>
      <span class="hide">
        <Slip name="Compare with" face="plainbtn" words="Compare">
          {() => <Others id={job.id} />}
        </Slip>
      </span>
      {hasFiles(job) && (
        <span class="hide">
          <Slip name="Save files" face="plainbtn" words="Save files">
            {() => files}
          </Slip>
        </span>
      )}
      <span class="more">
        <Slip name="More" face="plainbtn" words="More">
          {() => (
            <div class="moresheet">
              <UndoRedo job={job} handle={handle} />
              <UnitsSwitch units={units} onUnits={onUnits} />
              {copy}
              {hasFiles(job) && files}
              <h3>Compare with</h3>
              <Others id={job.id} />
            </div>
          )}
        </Slip>
      </span>
      {isDrawing(job) && <span class="note">Drawing the files</span>}
      {hasFiles(job) && <Link to={floorPath(job.id)}>Floor page</Link>}
      {hasFiles(job) && (
        <a class="prime" href={api.file(job.id, 'sheet.pdf')} target="_blank" rel="noreferrer">
          Run sheet
        </a>
      )}
    </>
  );
}
