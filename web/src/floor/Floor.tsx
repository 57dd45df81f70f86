// The floor page, beside the machine: large type for a tablet.
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { planOf } from '../drawing/plan';
import { Link } from '../parts/TopBar';
import { useUnits } from '../state/units';
import { duration } from '../words/figures';
import './floor.css';
import { lookAt, SetUp, TakeCare, Threads } from './FloorParts';
import { restartAt } from './goBack';
import { MachineDrawing } from './MachineDrawing';
import { Stopped } from './Stopped';
import { type FloorHandle, useFloor } from './useFloor';

export function Floor({ id }: { id: string }) {
  const handle = useFloor(id);
  const { facts, fault } = handle;
  useEffect(() => {
    document.title = facts ? `${facts.floor.title}: floor` : 'Floor: Buckram';
  }, [facts]);
  return (
    <main class="floor">
      {handle.isAway && (
        <p class="floor-away" role="alert">
          Buckram does not answer. Ticks and breaks are kept on this tablet and sent when it answers
          again.
        </p>
      )}
      {handle.hasChanged && (
        <p class="floor-away" role="alert">
          <b>The plan has changed.</b> What has to be done anew is no longer ticked: load the new
          file, and sew one cap first.{' '}
          <button type="button" onClick={handle.seeChange}>
            Seen
          </button>
        </p>
      )}
      {fault && (
        <p class="floor-away" role="alert">
          <b>{fault.what}</b> {[fault.where, fault.hint].filter(Boolean).join('. ')}
        </p>
      )}
      {facts ? (
        <Sheet id={id} handle={handle} />
      ) : (
        !fault && <p class="floor-lead">Fetching the job.</p>
      )}
      <p class="floor-back">
        <Link to={`/job/${encodeURIComponent(id)}`}>Back to the job</Link>
      </p>
    </main>
  );
}

function Sheet({ id, handle }: { id: string; handle: FloorHandle }) {
  const { facts, view, cap } = handle;
  const [units] = useUnits();
  const [tapped, setTapped] = useState<number | null>(null);
  const stopped = useRef<HTMLElement>(null);
  const plan = useMemo(() => (view ? planOf(view) : null), [view]);
  const restart = plan && tapped !== null ? restartAt(plan, tapped) : null;
  useEffect(() => setTapped(null), [id, view]);
  const floor = facts!.floor;
  const isFirst = cap === 1;
  return (
    <>
      <header class="floor-head">
        <h1>{floor.title}</h1>
        <p>
          cap <b>{cap}</b>
          {floor.caps > 0 && ` of ${floor.caps}`}
          {floor.spare_caps > 0 && `, ${floor.spare_caps} spare`}
          {` · ${duration(floor.seconds_a_cap)} a cap`}
          {floor.customer && ` · ${floor.customer}`}
        </p>
      </header>
      <div class="floor-lede">
        <p>
          {isFirst ? (
            <>
              <b>Sew one cap first.</b> {lookAt(view)}
            </>
          ) : (
            <>
              <b>{`Cap ${cap}.`}</b> {floor.verdict === 'run' ? '' : floor.sentence}
            </>
          )}
        </p>
        <div class="floor-buttons">
          {!isFirst && (
            <button type="button" onClick={() => handle.setCap(cap - 1)}>
              Take back
            </button>
          )}
          <button type="button" onClick={() => handle.setCap(cap + 1)}>
            Cap is good
          </button>
          <button
            type="button"
            class="is-first"
            onClick={() => {
              stopped.current?.scrollIntoView({ block: 'nearest' });
              stopped.current?.focus();
            }}
          >
            It stopped
          </button>
        </div>
      </div>
      {isFirst && floor.verdict !== 'run' && <p class="floor-verdict">{floor.sentence}</p>}
      <div class="floor-grid">
        <section aria-labelledby="h-machine">
          <h2 id="h-machine">On the machine</h2>
          {view && (
            <MachineDrawing
              view={view}
              units={units}
              tapped={restart?.entry ?? null}
              onTap={setTapped}
            />
          )}
          <p>{`Start: ${floor.start.words}.`}</p>
          {floor.way_up.words && <p>{`Way up: ${floor.way_up.words}.`}</p>}
        </section>
        <section aria-labelledby="h-steps">
          <h2 id="h-steps">Set up, in this order</h2>
          <SetUp steps={floor.steps} ticks={handle.ticks} onTick={handle.tick} />
        </section>
        <section aria-labelledby="h-threads">
          <h2 id="h-threads">Threads, in sewing order</h2>
          <Threads facts={floor} units={units} />
        </section>
        <section ref={stopped} tabIndex={-1} aria-labelledby="h-stopped">
          <h2 id="h-stopped">It stopped: tap the place on the chart</h2>
          <Stopped restart={restart} handle={handle} onDone={() => setTapped(null)} />
        </section>
      </div>
      <TakeCare cautions={floor.cautions} />
    </>
  );
}
