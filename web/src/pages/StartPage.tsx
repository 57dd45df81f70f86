// Every job with its picture: find one, open it, make it again, or begin another.
import { useCallback, useEffect, useState } from 'preact/hooks';
import { api, type NewJob } from '../api';
import { ArtworkSheet, fileSource, type Source } from '../parts/ArtworkSheet';
import { useFileDrop } from '../parts/drop';
import { FaultNote } from '../parts/FaultNote';
import { JobLine } from '../parts/JobLine';
import { Slip } from '../parts/Slip';
import { TopBar, UnitsSwitch } from '../parts/TopBar';
import { comparePath, goTo, jobPath } from '../router';
import { useUnits } from '../state/units';
import { faultFrom } from '../state/use_job';
import { useLists } from '../state/use_lists';
import type { Fault, JobRow } from '../types';

const kAgain_ms = 4000;
const kTypingRest_ms = 200;

function useJobs(find: string) {
  const [jobs, setJobs] = useState<JobRow[] | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const load = useCallback(async () => {
    try {
      setJobs((await api.jobs(find)).jobs);
      setFault(null);
    } catch (error) {
      setFault(faultFrom(error));
    }
  }, [find]);
  useEffect(() => {
    const first = setTimeout(() => void load(), find ? kTypingRest_ms : 0);
    return () => clearTimeout(first);
  }, [load, find]);
  const waits = fault !== null || (jobs?.some((job) => job.state === 'planning') ?? false);
  useEffect(() => {
    if (!waits) return;
    const again = setInterval(() => void load(), kAgain_ms);
    return () => clearInterval(again);
  }, [waits, load]);
  return { jobs, fault, setFault, load };
}

function newJob({ asked }: Source): NewJob {
  const set = asked.set ?? [];
  return asked.artwork ? { artwork: asked.artwork, set } : { set };
}

async function begin(source: Source): Promise<void> {
  goTo(jobPath((await api.create(newJob(source))).id));
}

export function StartPage() {
  const [find, setFind] = useState('');
  const [units, setUnits] = useUnits();
  const [picked, setPicked] = useState<string[]>([]);
  const [deleted, setDeleted] = useState<JobRow | null>(null);
  const lists = useLists();
  const { jobs, fault, setFault, load } = useJobs(find);
  useEffect(() => {
    document.title = 'Jobs: Buckram';
  }, []);
  const attempt = useCallback(
    (what: Promise<unknown>) => what.then(load, (error) => setFault(faultFrom(error))),
    [load, setFault],
  );
  const onFile = useCallback(
    (file: File) => void attempt(api.upload(file).then((artwork) => begin(fileSource(artwork)))),
    [attempt],
  );
  const isOver = useFileDrop(onFile);
  const pick = (id: string) =>
    setPicked((old) =>
      old.includes(id) ? old.filter((each) => each !== id) : [...old, id].slice(-2),
    );
  return (
    <div class={`page start${isOver ? ' is-over' : ''}`}>
      <TopBar>
        <UnitsSwitch units={units} onUnits={setUnits} />
      </TopBar>
      <main>
        <h1 class="begin">
          Drop a customer’s artwork here, or{' '}
          <Slip name="New job" face="bk" words="choose it, or type lettering">
            {() => (
              <ArtworkSheet
                fonts={lists?.fonts ?? []}
                onSource={(source) => void attempt(begin(source))}
              />
            )}
          </Slip>
          .
        </h1>
        {fault && <FaultNote fault={fault} />}
        <div class="findrow">
          <h2>Jobs</h2>
          <label class="find">
            Find{' '}
            <input
              type="search"
              value={find}
              placeholder="customer, artwork, cap"
              onInput={(event) => setFind(event.currentTarget.value)}
            />
          </label>
          {picked.length === 2 && (
            <button
              type="button"
              class="btn"
              onClick={() => goTo(comparePath(picked[0] ?? '', picked[1] ?? ''))}
            >
              Compare these two
            </button>
          )}
          {picked.length === 1 && <span class="note">Tick another to compare with.</span>}
        </div>
        {deleted && (
          <p class="deleted" role="status">
            “{deleted.title}” is in the bin.{' '}
            <button
              type="button"
              class="btn2"
              onClick={() => {
                void attempt(api.restore(deleted.id));
                setDeleted(null);
              }}
            >
              Undo
            </button>
          </p>
        )}
        {jobs?.length === 0 && (
          <p class="vs none">{find ? `No job has “${find}” in it.` : 'No job yet.'}</p>
        )}
        <ul class="jobs">
          {(jobs ?? []).map((job) => (
            <JobLine
              key={job.id}
              job={job}
              lists={lists}
              units={units}
              isPicked={picked.includes(job.id)}
              onPick={() => pick(job.id)}
              onDuplicate={() =>
                void attempt(api.create({ copy_of: job.id }).then(({ id }) => goTo(jobPath(id))))
              }
              onAgain={() =>
                void attempt(api.create({ again: job.id }).then(({ id }) => goTo(jobPath(id))))
              }
              onDelete={() => {
                setPicked((old) => old.filter((each) => each !== job.id));
                void attempt(api.remove(job.id).then(() => setDeleted(job)));
              }}
            />
          ))}
        </ul>
      </main>
      {isOver && <p class="over-note">Drop it: a new job begins</p>}
    </div>
  );
}
