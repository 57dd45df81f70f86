// What lies over the stitches: the seam's line, measured gaps, the start, worst places with their
// words, names of places, and the stitch that is picked.
import { Fragment } from 'preact';
import type { Ground, Units, View, Xy } from '../types';
import type { Callout } from './callouts';
import { type Camera, toPx } from './camera';
import { type ChartLayout, carry } from './chartLayout';
import { ScaleBar } from './Frame';
import { kPin, ringPx } from './leaders';
import type { Label } from './lettering';
import { kTriangle } from './places';
import type { Plan } from './plan';

export interface WordsProps {
  view: View;
  plan: Plan;
  land: string;
  camera: Camera;
  layout: ChartLayout | null;
  picked: number | null;
  onPlace: (callout: Callout) => void;
  hasMarks: boolean;
  hasScaleBar: boolean;
  units: Units;
}

export function Words(props: WordsProps) {
  const { view, plan, camera, layout, land, picked } = props;
  const { ground } = view;
  const move = layout ? carry(layout.camera, camera) : null;
  return (
    <>
      <svg class="chart-words" width={camera.width} height={camera.height} aria-hidden="true">
        {ground.cap.has_seam && <SeamOver plan={plan} camera={camera} />}
        {move &&
          layout?.names.map((label) => (
            <Word
              key={`${label.look}${label.words}${label.anchor}${label.x < camera.width / 2}`}
              label={label}
              move={move}
              land={land}
            />
          ))}
        {props.hasMarks && <Readings ground={ground} camera={camera} />}
        {props.hasMarks && <Start at={toPx(camera, ...ground.start)} />}
        {picked !== null && <Picked plan={plan} camera={camera} entry={picked} />}
        {props.hasScaleBar && <ScaleBar camera={camera} units={props.units} />}
      </svg>
      {/* biome-ignore lint/a11y/useSemanticElements: a drawing holds no fieldset */}
      <svg
        class="chart-words"
        width={camera.width}
        height={camera.height}
        role="group"
        aria-label="Worst places"
      >
        {move &&
          layout?.callouts.map((callout) => (
            <Worst
              key={callout.place.number}
              callout={callout}
              at={toPx(camera, callout.place.x_mm, callout.place.y_mm)}
              move={move}
              land={land}
              ring={ringPx(camera)}
              onPlace={props.onPlace}
            />
          ))}
      </svg>
    </>
  );
}

function Word({ label, move, land }: { label: Label; move: (at: Xy) => Xy; land: string }) {
  const [x, y] = move([label.x, label.y]);
  const turn = label.turn ? ` rotate(${label.turn.toFixed(1)})` : '';
  const isAtSea = label.look.includes('sea-name');
  const { card } = label;
  return (
    <>
      {card && !isAtSea && (
        <rect
          class="card"
          x={x + card.x0 - label.x}
          y={y + card.y0 - label.y}
          width={card.x1 - card.x0}
          height={card.y1 - card.y0}
          fill={land}
        />
      )}
      <text
        class={`${label.look} ${label.anchor}`}
        stroke={isAtSea ? undefined : land}
        transform={`translate(${x.toFixed(1)} ${y.toFixed(1)})${turn}`}
      >
        {label.words}
      </text>
    </>
  );
}

function SeamOver({ plan, camera }: { plan: Plan; camera: Camera }) {
  const box = plan.box;
  if (!box || box[0] > 0 || box[2] < 0) return null;
  const [x, a] = toPx(camera, 0, box[1] + 1);
  const [, b] = toPx(camera, 0, box[3] - 1);
  const dash = `${1.4 * camera.scale} ${camera.scale}`;
  return <path class="seam-over" d={`M${x} ${a}V${b}`} stroke-dasharray={dash} />;
}

function Readings({ ground, camera }: { ground: Ground; camera: Camera }) {
  const r = kTriangle;
  return (
    <>
      {ground.readings.map((reading, k) => {
        const [x, y] = toPx(camera, reading.x_mm, reading.y_mm);
        return (
          <path
            key={k}
            class="triangle"
            d={`M${x} ${y - r}l${0.92 * r} ${1.6 * r}h${-1.84 * r}Z`}
          />
        );
      })}
    </>
  );
}

export function Start({ at: [x, y], r = 11 }: { at: Xy; r?: number }) {
  const cross = [
    [1, 0],
    [-1, 0],
    [0, 1],
    [0, -1],
  ]
    .map(
      ([u, v]) =>
        `M${x + 0.4 * r * u!} ${y + 0.4 * r * v!}L${x + 1.8 * r * u!} ${y + 1.8 * r * v!}`,
    )
    .join('');
  return (
    <g class="start">
      <circle class="halo" cx={x} cy={y} r={r} />
      <path class="halo" d={cross} />
      <path d={cross} />
      <circle cx={x} cy={y} r={r} />
    </g>
  );
}

function Picked({ plan, camera, entry }: { plan: Plan; camera: Camera; entry: number }) {
  if (entry < 0 || entry >= plan.n) return null;
  const b = toPx(camera, plan.x[entry]!, plan.y[entry]!);
  const a = plan.sewn[entry] ? toPx(camera, plan.x[entry - 1]!, plan.y[entry - 1]!) : b;
  return (
    <g class="picked">
      <path class="halo" d={`M${a}L${b}`} />
      <path d={`M${a}L${b}`} />
      <circle class="halo" cx={b[0]} cy={b[1]} r={4.5} />
      <circle cx={b[0]} cy={b[1]} r={4.5} />
    </g>
  );
}

function Worst({
  callout,
  at,
  move,
  land,
  ring,
  onPlace,
}: {
  callout: Callout;
  at: Xy;
  move: (at: Xy) => Xy;
  land: string;
  ring: number;
  onPlace: (callout: Callout) => void;
}) {
  const pin = move(callout.pin);
  const d = Math.hypot(pin[0] - at[0], pin[1] - at[1]) || 1;
  const away: Xy = [(pin[0] - at[0]) / d, (pin[1] - at[1]) / d];
  const leader = `M${at[0] + away[0] * ring} ${at[1] + away[1] * ring}L${pin[0] - away[0] * kPin} ${pin[1] - away[1] * kPin}`;
  const { card, place } = callout;
  const corner = card ? move([card.x0, card.y0]) : null;
  // What is seen stands in the name as it is seen, so that it can be asked for by voice.
  const seen = [place.number, ...callout.labels.map((label) => label.words)].join(' ');
  const words = `${seen}. Worst place ${place.number}: ${place.part}, ${place.where}. ${place.why}`;
  const pick = (event: Event) => {
    event.stopPropagation();
    onPlace(callout);
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a button of HTML cannot stand in a drawing
    <g
      class="worst"
      role="button"
      tabIndex={0}
      aria-label={words}
      onClick={pick}
      onKeyDown={(event) => {
        if (event.key !== 'Enter' && event.key !== ' ') return;
        event.preventDefault();
        pick(event);
      }}
    >
      {card && corner && (
        <rect
          class="card"
          x={corner[0]}
          y={corner[1]}
          width={card.x1 - card.x0}
          height={card.y1 - card.y0}
          fill={land}
        />
      )}
      {d > ring + kPin && <path class="leader-halo" d={leader} stroke={land} />}
      {d > ring + kPin && <path class="leader" d={leader} />}
      <circle class="ring-halo" cx={at[0]} cy={at[1]} r={ring} />
      <circle class="ring" cx={at[0]} cy={at[1]} r={ring} />
      <Pin at={pin} number={place.number} /> {/* spaces part the words of the name */}
      {callout.labels.map((label) => (
        <Fragment key={label.y}>
          <Word label={label} move={move} land={land} />{' '}
        </Fragment>
      ))}
      <circle class="touch" cx={pin[0]} cy={pin[1]} r={16} />
    </g>
  );
}

/** A numbered disc, as on chart, strip, list and floor page. */
export function Pin({ at: [x, y], number }: { at: Xy; number: number }) {
  return (
    <g class="pin">
      <circle cx={x} cy={y} r={kPin} />
      <text class="middle" x={x} y={y + 4.2}>
        {number}
      </text>
    </g>
  );
}
