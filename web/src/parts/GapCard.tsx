// Where to measure the gap and how; each digit typed redraws the contours, and the job follows when
// typing rests.
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { gapsAsSet, gapTyped, type Place, placeReadings, placesOf, withTyped } from '../state/gaps';
import type { JobHandle } from '../state/use_job';
import type { GapReading, Job, Units, View } from '../types';
import { settingAt } from '../words/changes';
import { inUnit, length, millimetresTyped, unitName } from '../words/figures';
import { GapFront, GapSection } from './GapDrawing';
import { Head } from './Head';

/** How long typing rests before the job is forecast with it. */
const kRest_ms = 900;

interface Props {
  job: Job;
  view: View;
  units: Units;
  handle: JobHandle;
}

interface FieldProps {
  name: string;
  value: number | null;
  units: Units;
  wrong: boolean;
  onType: (text: string) => void;
  onDone: () => void;
}

function Field({ name, value, units, wrong, onType, onDone }: FieldProps) {
  const own = value === null ? '' : inUnit(value, units);
  const [text, setText] = useState<string | null>(null);
  return (
    <span class={`field${wrong ? ' wrong' : ''}`}>
      <input
        type="text"
        inputMode="decimal"
        autocomplete="off"
        aria-label={`${name}, ${unitName(units)}`}
        aria-invalid={wrong}
        value={text ?? own}
        onInput={(event) => {
          setText(event.currentTarget.value);
          onType(event.currentTarget.value);
        }}
        onKeyDown={(event) => event.key === 'Enter' && onDone()}
        onBlur={() => {
          if (!wrong) setText(null);
          onDone();
        }}
      />
      <span aria-hidden="true">{unitName(units)}</span>
    </span>
  );
}

const readingsOf = (job: Job, view: View): GapReading[] => {
  const asked = settingAt(job.settings, 'gap');
  return Array.isArray(asked) ? (asked as GapReading[]) : view.ground.readings;
};

/** Figures typed and not yet asked for: asked for when typing rests. */
function useResting(send: (step: { set: string[]; words: string }) => void) {
  const waiting = useRef<{ set: string[]; words: string } | null>(null);
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const flush = () => {
    clearTimeout(timer.current);
    const step = waiting.current;
    waiting.current = null;
    if (step) send(step);
  };
  const later = useRef(flush);
  later.current = flush;
  useEffect(() => () => clearTimeout(timer.current), []);
  return {
    flush,
    wait: (step: { set: string[]; words: string } | null) => {
      waiting.current = step;
      clearTimeout(timer.current);
      if (step) timer.current = setTimeout(() => later.current(), kRest_ms);
    },
  };
}

export function GapCard({ job, view, units, handle }: Props) {
  const places = placesOf(view);
  const [typed, setTyped] = useState<GapReading[] | null>(null);
  const [said, setSaid] = useState<{ letter: string; words: string } | null>(null);
  const placed = placeReadings(typed ?? readingsOf(job, view), places);
  const resting = useResting((step) => {
    setTyped(null);
    void handle.change({ set: step.set }, step.words);
  });
  const idHow = useId();
  const type = (place: Place, text: string) => {
    const { mm, wrong } = gapTyped(text, place.letter, units);
    setSaid(wrong ? { letter: place.letter, words: wrong } : null);
    if (wrong) {
      resting.wait(null);
      setTyped(null);
      handle.forgetTyped();
      return;
    }
    const readings = withTyped(placed, place, mm);
    const set = [gapsAsSet(readings)];
    setTyped(readings);
    const words =
      mm === null
        ? `Gap at ${place.letter} not measured`
        : `Gap at ${place.letter}: ${length(mm, units)}`;
    handle.typeGaps(set, `gap at ${place.letter} changed`);
    resting.wait({ set, words });
  };
  const foot = Number(settingAt(job.settings, 'bench.foot_mm') ?? 3.5);
  const typeFoot = (text: string) => {
    const mm = millimetresTyped(text, units);
    const isRight = mm !== null && mm >= 0.5 && mm <= 10;
    setSaid(
      isRight
        ? null
        : {
            letter: 'foot',
            words: `The foot stands ${length(0.5, units)} to ${length(10, units)} above the plate.`,
          },
    );
    resting.wait(
      isRight
        ? {
            set: [`bench.foot_mm=${Number(mm.toFixed(3))}`],
            words: `Foot ${length(mm, units)} above the plate`,
          }
        : null,
    );
  };
  return (
    <section class="a-gap" aria-labelledby="h-gap">
      <Head name="Gap card" id="h-gap">
        <span class="note end" id={idHow}>
          press to the plate, read the rule
        </span>
      </Head>
      <div class="gap2">
        <GapFront places={places} placed={placed} hasSeam={view.ground.cap.has_seam} />
        <ul class="gaplist" aria-describedby={idHow}>
          {places.map((place) => (
            <li key={place.letter}>
              <b>{place.letter}</b>
              <span>
                {place.letter === 'B' || place.letter === 'C'
                  ? `${length(20, units)} ${place.words}`
                  : place.words}
              </span>
              <Field
                name={`Gap at ${place.letter}, ${place.words}`}
                value={placed.at[place.letter]?.gap_mm ?? null}
                units={units}
                wrong={said?.letter === place.letter}
                onType={(text) => type(place, text)}
                onDone={resting.flush}
              />
            </li>
          ))}
          <li>
            <b aria-hidden="true">↧</b>
            <span>foot above the plate</span>
            <Field
              name="Foot above the plate"
              value={foot}
              units={units}
              wrong={said?.letter === 'foot'}
              onType={typeFoot}
              onDone={resting.flush}
            />
          </li>
        </ul>
      </div>
      {said && (
        <p class="wrong" role="alert">
          {said.words}
        </p>
      )}
      {placed.others.length > 0 && (
        <p class="small">
          Measured elsewhere too:{' '}
          {placed.others
            .map((r) => `${length(r.gap_mm, units)} at ${length(r.y_mm, units)} up`)
            .join(', ')}
          .
        </p>
      )}
      <GapSection view={view} foot_mm={foot} units={units} places={places} />
      <details class="how">
        <summary>How to measure</summary>
        <ol>
          <li>Power off. Mount the cap as it will be sewn, on the plate as it will stand.</li>
          <li>
            Hold a rule upright beside the place, and press the front down to the plate with a blunt
            rod.
          </li>
          <li>Read how far it went: 0 where it lies on the plate.</li>
          <li>
            Leave a place empty that you did not measure: the cap’s file fills in what is usual.
          </li>
        </ol>
      </details>
    </section>
  );
}
