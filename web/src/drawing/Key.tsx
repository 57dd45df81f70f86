// What the chart's signs mean, and the scale of its shades.
import type { ComponentChildren } from 'preact';
import type { Ground, Shading, Units } from '../types';
import { chance, duration, length } from '../words/figures';
import { kHazard, kHazardEdges, kTimeSteps } from './ink';

const kWave = 'M0 9C8 2 20 2 30 8';

function Sample({ words, children }: { words: string; children: ComponentChildren }) {
  return (
    <li>
      <svg width="30" height="14" viewBox="0 0 30 14" aria-hidden="true">
        {children}
      </svg>
      {words}
    </li>
  );
}

export function ChartKey({ ground, units }: { ground: Ground; units: Units }) {
  const hachures = [3, 7, 11, 15, 19, 23, 27]
    .map((x) => `M${x} 5.5l-1.6-4.5M${x} 8.5l-1.6 4.5`)
    .join('');
  return (
    <ul class="chart-key" aria-label="Signs on the chart">
      <Sample words={`gap, every ${length(0.5, units)}`}>
        <path class="key-contour" d={kWave} />
      </Sample>
      <Sample words={`every ${length(1, units)}`}>
        <path class="key-contour key-index" d={kWave} />
      </Sample>
      <Sample words={length(0.25, units).replace('0.3', '0.25')}>
        <path class="key-contour" stroke-dasharray="5 4" d={kWave} />
      </Sample>
      {ground.cap.has_seam && (
        <Sample words="seam ridge">
          <path class="key-seam" d={`M0 6H30M0 8H30${hachures}`} />
        </Sample>
      )}
      <Sample words="keep off">
        <rect class="key-box" x="0.5" y="0.5" width="29" height="13" />
        <path class="key-dots" d="M4 4h0M9 9h0M14 4h0M19 10h0M24 5h0M27 10h0M5 10h0M21 3h0" />
      </Sample>
      <Sample words="field’s shore">
        <rect class="key-sea" width="30" height="14" />
        <path class="key-land" d="M0 8C6 9 9 5 15 5S25 8 30 8V14H0Z" />
        <path class="key-shore" d="M0 8C6 9 9 5 15 5S25 8 30 8" />
      </Sample>
      <Sample words="common practice">
        <path class="key-contour" stroke-dasharray="10 3.5 1.8 3.5" d="M0 7H30" />
      </Sample>
      {ground.readings.length > 0 && (
        <Sample words="measured gap">
          <path class="key-triangle" d="M15 2l6 10h-12z" />
        </Sample>
      )}
      <Sample words="start">
        <path class="key-start" d="M8 7h5M17 7h5M15 0v5M15 9v5" />
        <circle class="key-start" cx="15" cy="7" r="3.4" />
      </Sample>
    </ul>
  );
}

/** The six shades of hazard with the chances where they begin, or those of time. */
export function Ramp({ shading, seconds }: { shading: Shading; seconds: number }) {
  if (shading === 'threads') return null;
  const isHazard = shading === 'hazard';
  const steps: readonly string[] = isHazard ? kHazard : kTimeSteps;
  const words = isHazard
    ? 'Shade of a stitch: the chance that a needle breaks there'
    : 'Shade of a stitch: when it is sewn';
  return (
    <div class="chart-ramp" role="img" aria-label={`${words}, from light to dark`}>
      <svg viewBox={`0 0 ${steps.length * 10} 6`} preserveAspectRatio="none" aria-hidden="true">
        {steps.map((colour, k) => (
          <rect key={colour} x={k * 10} width="10" height="6" fill={colour} />
        ))}
      </svg>
      <p aria-hidden="true">
        <span>{isHazard ? `${chance(kHazardEdges[0])} or less` : 'start'}</span>
        <span>{isHazard ? chance(kHazardEdges[2]) : duration(seconds / 2)}</span>
        <span>{isHazard ? `${chance(kHazardEdges[4])} or more` : duration(seconds)}</span>
      </p>
    </div>
  );
}
