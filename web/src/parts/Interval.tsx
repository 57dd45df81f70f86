// The forecast's interval against the shop's limit, drawn to scale.
import type { Estimate } from '../types';
import { figure } from '../words/figures';

interface Props {
  now: Estimate;
  best: Estimate | null;
  limit: number;
  bestWords: string;
}

const kWide = 262;
const kLeft = 8;

/** The step of ticks: 1, 2 or 5 times a power of ten, five at most. */
export function tickStep(most: number): number {
  const rough = most / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 5, 10].map((n) => n * power).find((step) => step >= rough - 1e-12) ?? 10 * power;
}

export function Interval({ now, best, limit, bestWords }: Props) {
  const most = Math.max(now.high, limit * 1.2, best?.high ?? 0) * 1.06;
  const step = tickStep(most);
  const x = (value: number) => kLeft + (Math.min(value, most) / most) * (kWide - kLeft - 10);
  const ticks = Array.from({ length: Math.floor(most / step) + 1 }, (_, i) => i * step);
  const limitAt = x(limit);
  const end = Math.max(x(now.high), 78);
  const isLimitLeft = limitAt < 120;
  const label = `${figure(now.mean)} per 100 caps, likely ${figure(now.low)} to ${figure(now.high)}; your limit is ${figure(limit)}${best ? `; ${bestWords}: ${figure(best.mean)}` : ''}`;
  return (
    <svg class="interval" viewBox={`0 0 ${kWide} ${best ? 104 : 88}`} role="img" aria-label={label}>
      <path class="axis" d={`M${kLeft} ${best ? 60 : 44}H${kWide - 8}`} />
      {ticks.map((value) => (
        <g key={value}>
          <path class="axis" d={`M${x(value)} ${best ? 60 : 44}v4.5`} />
          <text x={x(value)} y={best ? 76 : 60} text-anchor="middle">
            {Number(value.toPrecision(6))}
          </text>
        </g>
      ))}
      <text x={kLeft} y={best ? 98 : 82}>
        broken needles per 100 caps
      </text>
      <path class="limit" d={`M${limitAt} 18V${best ? 60 : 44}`} />
      <text
        x={isLimitLeft ? Math.max(0, limitAt - 30) : limitAt}
        y="13"
        text-anchor={isLimitLeft ? 'start' : 'end'}
      >
        your limit, {figure(limit)}
      </text>
      <path
        class="span"
        d={`M${x(now.low)} 32H${x(now.high)}M${x(now.low)} 27.5v9M${x(now.high)} 27.5v9`}
      />
      <circle class="mean" cx={x(now.mean)} cy="32" r="6" />
      <text class="b" x={end} y="23" text-anchor="end">
        {limitAt + 66 < end ? 'as it stands' : ''}
      </text>
      {best && (
        <>
          <path class="span2" d={`M${x(best.low)} 49H${x(best.high)}`} />
          <circle class="mean2" cx={x(best.mean)} cy="49" r="4.6" />
          <text
            class="b"
            x={Math.min(Math.max(x(best.high), x(best.mean) + 5) + 6, kWide - 112)}
            y="53"
          >
            {bestWords}
          </text>
        </>
      )}
    </svg>
  );
}
