// The drawings by themselves, for eyes and for frames.mjs: ?n=50000 makes a trial view of so many
// stitches, ?view=ADDRESS fetches one; ?part=chart|strip|cap picks one drawing.
import { render } from 'preact';
import { useState } from 'preact/hooks';
import { Cap, Chart, RunStrip } from '../src/drawing';
import type { Shading, View } from '../src/types';
import './frames.css';
import { trialView } from './trial';

const asked = new URLSearchParams(location.search);

function Trial({ view: first }: { view: View }) {
  const [view, setView] = useState(first);
  const [cursor, setCursor] = useState<number | null>(null);
  const [shading, setShading] = useState<Shading>((asked.get('shading') as Shading) ?? 'threads');
  const [playing, setPlaying] = useState(false);
  const [isPart, setIsPart] = useState(false);
  /** The gap as it would be with the plate so much higher: what a typed figure brings. */
  const raise = (mm: number) => {
    const { gap } = first.ground;
    const raised = gap.mm.map((g) => (g === null ? null : Math.max(0, g - mm)));
    setView({ ...first, ground: { ...first.ground, gap: { ...gap, mm: raised } } });
  };
  Object.assign(window, { trial: { setCursor, setShading, setIsPart, raise, view } });
  const part = asked.get('part');
  const units = asked.has('inch') ? 'inch' : 'mm';
  const phone = asked.has('phone');
  const sewnTo = isPart ? cursor : null;
  return (
    <>
      {(!part || part === 'chart') && (
        <Chart
          view={view}
          cursor={cursor}
          onCursor={setCursor}
          shading={shading}
          units={units}
          stale={asked.has('stale')}
          sewnTo={sewnTo}
          phone={phone}
          turned={asked.has('turned')}
          plain={asked.has('plain')}
        />
      )}
      {(!part || part === 'strip') && (
        <RunStrip
          view={view}
          cursor={cursor}
          onCursor={setCursor}
          playing={playing}
          onPlaying={setPlaying}
          bestHazard={asked.has('best') ? view.entries.hazard.map((p) => p * 0.4) : null}
          units={units}
          stale={asked.has('stale')}
        />
      )}
      {(!part || part === 'cap') && (
        <div class="trial-cap">
          <Cap view={view} cursor={cursor} sewnTo={sewnTo} />
        </div>
      )}
    </>
  );
}

const from = asked.get('view');
const view: View = from
  ? await (await fetch(from)).json()
  : trialView(Number(asked.get('n') ?? 50000));
render(<Trial view={view} />, document.getElementById('app')!);
