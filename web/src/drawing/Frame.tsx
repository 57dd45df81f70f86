// The chart's frame: black and white bars, a ruler that needs no reading; figures in one unit below
// and left, in the other above and right, smaller.
import type { Units } from '../types';
import { type Camera, seenBox, toPx } from './camera';

export const kMargins = { left: 42, right: 52, top: 30, bottom: 29 } as const;
const kBar = 10;
const kInch = 25.4;

/** The least of `steps` (mm) that takes `px` or more. */
function stepOf(steps: number[], camera: Camera, px: number): number {
  return steps.find((s) => s * camera.scale >= px) ?? steps[steps.length - 1]!;
}

const kMmSteps = [0.5, 1, 2, 5, 10, 20, 50];
const kInchSteps = [0.05, 0.1, 0.25, 0.5, 1, 2].map((v) => v * kInch);

function multiples(low: number, high: number, step: number): number[] {
  const out: number[] = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9; ++k) out.push(k * step);
  return out;
}

const figure = (v: number) => {
  const text = String(Math.round(Math.abs(v) * 100) / 100);
  return v < -1e-9 ? `−${text}` : text;
};
const signed = (v: number) => (v > 1e-9 ? `+${figure(v)}` : figure(v));

/** Bars of one side: every second of `step` from a whole multiple of two steps on. */
function bars(low: number, high: number, step: number, toSpan: (a: number, b: number) => string) {
  let d = '';
  for (let k = Math.floor(low / (2 * step)); 2 * k * step < high; ++k) {
    const a = Math.max(low, 2 * k * step);
    const b = Math.min(high, (2 * k + 1) * step);
    if (b > a) d += toSpan(a, b);
  }
  return d;
}

export function Frame({
  camera,
  units,
  lowest,
}: {
  camera: Camera;
  units: Units;
  lowest: number | null;
}) {
  const { left, top } = kMargins;
  const [w, h] = [camera.width, camera.height];
  const seen = seenBox(camera);
  const isMm = units === 'mm';
  const label = stepOf(isMm ? kMmSteps : kInchSteps, camera, isMm ? 44 : 64);
  const other = stepOf(isMm ? kInchSteps.slice(1) : kMmSteps, camera, 100);
  const bar = label / 2;
  const x = (mm: number) => left + toPx(camera, mm, 0)[0];
  const y = (mm: number) => top + toPx(camera, 0, mm)[1];
  const across = (a: number, b: number) => {
    const [p, q] = [Math.min(x(a), x(b)), Math.max(x(a), x(b))];
    return `M${p} ${top - kBar}H${q}v${kBar}H${p}ZM${p} ${top + h}H${q}v${kBar}H${p}Z`;
  };
  const up = (a: number, b: number) => {
    const [p, q] = [Math.min(y(a), y(b)), Math.max(y(a), y(b))];
    return `M${left - kBar} ${p}h${kBar}V${q}h${-kBar}ZM${left + w} ${p}h${kBar}V${q}h${-kBar}Z`;
  };
  const per = isMm ? 1 : kInch;
  const otherPer = isMm ? kInch : 1;
  const otherUnit = isMm ? 'in' : 'mm';
  return (
    <svg
      class="chart-frame"
      width={w + left + kMargins.right}
      height={h + top + kMargins.bottom}
      aria-hidden="true"
    >
      <path
        class="bars"
        d={bars(seen.x0, seen.x1, bar, across) + bars(seen.y0, seen.y1, bar, up)}
      />
      <rect class="frame-line" x={left} y={top} width={w} height={h} />
      <rect
        class="frame-line"
        x={left - kBar}
        y={top - kBar}
        width={w + 2 * kBar}
        height={h + 2 * kBar}
      />
      {multiples(seen.x0, seen.x1, label).map((v) => (
        <text key={`x${v}`} class="axis middle" x={x(v)} y={top + h + kBar + 15}>
          {signed(v / per)}
        </text>
      ))}
      {multiples(seen.y0, seen.y1, label).map((v) => (
        <text key={`y${v}`} class="axis end" x={left - kBar - 6} y={y(v) + 4}>
          {figure(v / per)}
        </text>
      ))}
      {lowest !== null && isMm && lowest > seen.y0 && lowest < seen.y1 && (
        <text class="axis end axis-usual" x={left - kBar - 6} y={y(lowest) + 4}>
          {figure(lowest)}
        </text>
      )}
      {multiples(seen.x0, seen.x1, other).map((v) => (
        <g key={`X${v}`}>
          <path class="axis-tick" d={`M${x(v)} ${top - kBar}v-5`} />
          <text class="axis-other middle" x={x(v)} y={top - kBar - 8}>
            {`${figure(Math.abs(v) / otherPer)} ${otherUnit}`}
          </text>
        </g>
      ))}
      {multiples(seen.y0, seen.y1, other).map((v) => (
        <g key={`Y${v}`}>
          <path class="axis-tick" d={`M${left + w + kBar} ${y(v)}h5`} />
          <text class="axis-other" x={left + w + kBar + 8} y={y(v) + 4}>
            {`${figure(v / otherPer)} ${otherUnit}`}
          </text>
        </g>
      ))}
    </svg>
  );
}

/** For narrow screens, in place of the frame. */
export function ScaleBar({ camera, units }: { camera: Camera; units: Units }) {
  const per = units === 'mm' ? 1 : kInch;
  const step = stepOf(units === 'mm' ? kMmSteps : kInchSteps, camera, 40);
  const long = step * camera.scale;
  const [x, y] = [12, 12];
  return (
    <g class="scale-bar">
      <rect class="scale-ground" x={x - 8} y={y - 6} width={2 * long + 46} height={30} />
      <rect class="bars" x={x} y={y} width={long} height={6} />
      <rect class="frame-line" x={x} y={y} width={2 * long} height={6} />
      <text class="axis" x={x} y={y + 18}>
        0
      </text>
      <text class="axis middle" x={x + long} y={y + 18}>
        {figure(step / per)}
      </text>
      <text class="axis middle" x={x + 2 * long} y={y + 18}>
        {`${figure((2 * step) / per)} ${units === 'mm' ? 'mm' : 'in'}`}
      </text>
    </g>
  );
}
