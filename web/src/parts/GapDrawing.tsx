// The gap card's two drawings: the front with its five places, and the cloth along the centre line
// above the plate.
import { gapAlongCentre, type Place, type Placed, reachUp } from '../state/gaps';
import type { Units, View } from '../types';
import { length } from '../words/figures';

const kCrown = 'M-36 -2C-39 -34 -30 -78 0 -78C30 -78 39 -34 36 -2';
const kSeamEdge = 'M-36 -2C-20 2 20 2 36 -2';
const kBill = 'M-36 -2C-40 6 -38 9 -34 10C-16 3 16 3 34 10C38 9 40 6 36 -2';

/** Heights up the front onto the drawing's. */
function drawnAt(places: Place[]): (place: Place) => [number, number] {
  const low = places[0]?.y_mm ?? 0;
  const high = places[4]?.y_mm ?? 1;
  return (place) => [place.x_mm, -15 - (46 * (place.y_mm - low)) / Math.max(1, high - low)];
}

export function GapFront({
  places,
  placed,
  hasSeam,
}: {
  places: Place[];
  placed: Placed;
  hasSeam: boolean;
}) {
  const at = drawnAt(places);
  return (
    <svg
      class="gfront"
      viewBox="-42 -82 84 94"
      role="img"
      aria-label="Front of the cap with the five places to measure, A to E"
    >
      <path class="g1" d={kCrown} />
      <path class="g1" d={kSeamEdge} />
      <path class="g1" d={kBill} />
      <path class={hasSeam ? 'g2' : 'g4'} d="M0 1V-78" />
      {places.map((place) => {
        const [x, y] = at(place);
        const isMeasured = placed.at[place.letter] !== undefined;
        return (
          <g key={place.letter}>
            <circle class={isMeasured ? 'gp on' : 'gp'} cx={x} cy={y} r="6.4" />
            <text class={isMeasured ? 'gpt on' : 'gpt'} x={x} y={y} dy=".36em" text-anchor="middle">
              {place.letter}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

const kWide = 150;
const kUp = 2; // the gap is drawn this much larger

interface SectionProps {
  view: View;
  foot_mm: number;
  units: Units;
  places: Place[];
}

function hatch(from: number, to: number, y: number): string {
  let d = '';
  for (let x = from; x <= to; x += 2.2) d += `M${x.toFixed(1)} ${y + 2.6}l2 -2.6`;
  return d;
}

export function GapSection({ view, foot_mm, units, places }: SectionProps) {
  const top = reachUp(view)[1] + 8;
  const line = gapAlongCentre(view, top);
  if (line.length < 2) return null;
  const most = Math.max(...line.map(([, gap]) => gap), 1);
  const tall = Math.min(24, Math.max(10, most * kUp)) + 8;
  const scale = Math.min(kUp, 24 / most);
  const x = (y: number) => 3 + (144 * y) / top;
  const up = (gap: number) => -gap * scale;
  const cloth = line
    .map(([y, gap], i) => `${i ? 'L' : 'M'}${x(y).toFixed(2)} ${up(gap).toFixed(2)}`)
    .join('');
  const low = places[0];
  const mid = places[3];
  const gapAt = (y: number) =>
    line.reduce((a, b) => (Math.abs(b[0] - y) < Math.abs(a[0] - y) ? b : a))[1];
  const needle = x(low?.y_mm ?? 0) + 12;
  return (
    <svg
      class="gsec"
      viewBox={`0 ${-tall} ${kWide} ${tall + 12}`}
      role="img"
      aria-label={`Cloth along the ${view.ground.cap.has_seam ? 'seam' : 'centre line'} above the plate; the most is ${length(most, units)}`}
    >
      <path
        class="gapf"
        d={`${cloth}L${x(line.at(-1)?.[0] ?? top)} 0L${x(line[0]?.[0] ?? 0)} 0Z`}
      />
      <path class="plate" d={`M3 0H147V2.6H3Z`} />
      <path class="ph" d={hatch(3, 145, 0)} />
      <path class="cloth" d={cloth} />
      {[low, mid].map(
        (place) =>
          place && (
            <g key={place.letter}>
              <path class="dim" d={`M${x(place.y_mm)} 0V${up(gapAt(place.y_mm))}`} />
              <text class="b" x={x(place.y_mm) + 1.2} y="-1.4">
                {place.letter}
              </text>
            </g>
          ),
      )}
      <path
        class="foot"
        d={`M${needle - 6} ${up(foot_mm)}h4.6v-2.4M${needle + 6} ${up(foot_mm)}h-4.6v-2.4`}
      />
      <path class="ndl" d={`M${needle - 0.7} ${-tall + 1}h1.4V${up(foot_mm) + 1}l-.7 2l-.7 -2Z`} />
      <text x="3" y="8.4">
        plate, from the bill seam
      </text>
      <text x="147" y="8.4" text-anchor="end">
        top stitch
      </text>
      <text x="147" y={-tall + 4.4} text-anchor="end">
        cloth along the {view.ground.cap.has_seam ? 'seam' : 'centre line'}, gap ×{' '}
        {scale.toFixed(scale < 2 ? 1 : 0)}
      </text>
    </svg>
  );
}
