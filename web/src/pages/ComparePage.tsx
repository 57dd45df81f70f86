// Two plans side by side, and what differs between them.
import { useEffect, useState } from 'preact/hooks';
import { api } from '../api';
import { Chart, RunStrip } from '../drawing';
import { FaultNote } from '../parts/FaultNote';
import { Head } from '../parts/Head';
import { Link, RadioRow, TopBar, UnitsSwitch } from '../parts/TopBar';
import { perCapWords, Sentence, Stamp } from '../parts/Verdict';
import { jobPath } from '../router';
import { useUnits } from '../state/units';
import { faultFrom } from '../state/use_job';
import { useIsPhone } from '../state/use_phone';
import type { Fault, Job, Shading, Units, View } from '../types';
import { differences, figuresSideBySide } from '../words/compare';

interface Side {
  job: Job;
  view: View | null;
}

async function sideOf(id: string): Promise<Side> {
  const job = await api.job(id);
  const view = job.verdict?.per_cap ? await api.view(id) : null;
  return { job, view };
}

function SideOf({
  side,
  name,
  shading,
  units,
}: {
  side: Side;
  name: string;
  shading: Shading;
  units: Units;
}) {
  const { job, view } = side;
  const [cursor, setCursor] = useState<number | null>(null);
  const [isPlaying, setPlaying] = useState(false);
  const isPhone = useIsPhone();
  return (
    <section class="side" aria-label={`${name}: ${job.title}`}>
      <Head name={name}>
        {job.verdict && <Stamp verdict={job.verdict} isStruck={false} />}
        <span class="note end">{perCapWords(job.verdict)}</span>
      </Head>
      <h2 class="sidetitle">
        <Link to={jobPath(job.id)}>{job.title}</Link>
      </h2>
      <p class="vs">{job.verdict ? <Sentence job={job} /> : 'Not planned yet.'}</p>
      {view && (
        <>
          <Chart
            view={view}
            cursor={cursor}
            onCursor={setCursor}
            shading={shading}
            units={units}
            stale={false}
            sewnTo={null}
            phone={isPhone}
          />
          <RunStrip
            view={view}
            cursor={cursor}
            onCursor={setCursor}
            playing={isPlaying}
            onPlaying={setPlaying}
            bestHazard={view.best_hazard}
            units={units}
            stale={false}
          />
        </>
      )}
    </section>
  );
}

function Differences({ a, b, units }: { a: Job; b: Job; units: Units }) {
  const rows = differences(a.settings, b.settings, units);
  const figures = figuresSideBySide(a.verdict, b.verdict, units);
  return (
    <section class="differences" aria-labelledby="h-differ">
      <Head name="What differs" id="h-differ" />
      <table>
        <thead>
          <tr>
            <th scope="col">
              <span class="unseen">what</span>
            </th>
            <th scope="col">first</th>
            <th scope="col">second</th>
          </tr>
        </thead>
        <tbody>
          {[...figures, ...rows].map((row) => (
            <tr key={row.what}>
              <th scope="row">{row.what}</th>
              <td>{row.a}</td>
              <td>{row.b}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {rows.length === 0 && <p class="small">Both are asked for in the same way.</p>}
    </section>
  );
}

export function ComparePage({ a, b }: { a: string; b: string }) {
  const [sides, setSides] = useState<[Side, Side] | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const [shading, setShading] = useState<Shading>('hazard');
  const [units, setUnits] = useUnits();
  useEffect(() => {
    document.title = 'Compare: Buckram';
    Promise.all([sideOf(a), sideOf(b)]).then(setSides, (error) => setFault(faultFrom(error)));
  }, [a, b]);
  return (
    <div class="page compare">
      <TopBar about={<h1>Two plans side by side</h1>}>
        <RadioRow
          name="Shade both by"
          face="seg"
          lead="Shade both by"
          choices={[
            { value: 'threads', words: 'threads' },
            { value: 'hazard', words: 'hazard' },
            { value: 'time', words: 'time' },
          ]}
          value={shading}
          onPick={(value) => setShading(value as Shading)}
        />
        <UnitsSwitch units={units} onUnits={setUnits} />
      </TopBar>
      <main>
        {fault && <FaultNote fault={fault} />}
        {!sides && !fault && <p class="vs">Fetching both.</p>}
        {sides && (
          <>
            <div class="sides">
              <SideOf side={sides[0]} name="First" shading={shading} units={units} />
              <SideOf side={sides[1]} name="Second" shading={shading} units={units} />
            </div>
            <Differences a={sides[0].job} b={sides[1].job} units={units} />
          </>
        )}
      </main>
    </div>
  );
}
