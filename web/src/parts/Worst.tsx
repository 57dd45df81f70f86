// Where needles would break most, in words; the same numbers as on chart and strip.
import { useState } from 'preact/hooks';
import type { Units, View } from '../types';
import { chance, lengthsIn, percent } from '../words/figures';
import { Head } from './Head';

/** As many as the chart has rings for. */
const kFirst = 6;

interface Props {
  view: View;
  units: Units;
  onCursor: (entry: number) => void;
}

export function Worst({ view, units, onCursor }: Props) {
  const [isAll, setAll] = useState(false);
  if (view.worst.length === 0) return null;
  const shown = isAll ? view.worst : view.worst.slice(0, kFirst);
  return (
    <section class="a-worst" aria-labelledby="h-worst">
      <Head name="Where needles break" id="h-worst">
        <span class="note end">of all breaks</span>
      </Head>
      <ol class="worst">
        {shown.map((place) => (
          <li key={place.number}>
            <button
              type="button"
              onClick={() => onCursor(place.entry)}
              aria-label={`Show place ${place.number} on the chart`}
            >
              <span class="pin">{place.number}</span>
            </button>
            <details>
              <summary>
                <span class="what">{lengthsIn(`${place.part}, ${place.where}`, units)}</span>
                <span class="why">
                  {lengthsIn(place.detail, units)} · {chance(place.p)} a stitch
                </span>
              </summary>
              <p>{upperFirst(place.why)}.</p>
              {place.helps && <p>Helps: {place.helps.replace(/\.$/, '')}.</p>}
            </details>
            <b class="num">{percent(place.share)}</b>
          </li>
        ))}
      </ol>
      {view.worst.length > kFirst && (
        <p class="small">
          <button type="button" class="quiet" aria-expanded={isAll} onClick={() => setAll(!isAll)}>
            {isAll ? `The first ${kFirst} only` : `All ${view.worst.length} places`}
          </button>
        </p>
      )}
    </section>
  );
}

const upperFirst = (text: string) =>
  (text.charAt(0).toUpperCase() + text.slice(1)).replace(/\.$/, '');
