// Artwork that cannot be sewn as asked: its outline, and hatched in ink what the needle cannot reach.
import { useId } from 'preact/hooks';
import type { UnfitArtwork } from '../types';
import { type Camera, matrixOf } from './camera';
import { linePath } from './svgPath';

const kHatch = 7; // px between lines

export function Unfit({ unfit, camera }: { unfit: UnfitArtwork; camera: Camera }) {
  const hatch = useId();
  const outline = unfit.outline.map((ring) => linePath(ring, true)).join('');
  const outside = unfit.outside.map((ring) => linePath(ring, true)).join('');
  const gap = kHatch / camera.scale;
  return (
    <svg
      class="chart-unfit"
      width={camera.width}
      height={camera.height}
      style={{ '--u': `${1 / camera.scale}px` }}
      aria-hidden="true"
    >
      <defs>
        <pattern
          id={hatch}
          width={gap}
          height={gap}
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <path class="unfit-hatch" d={`M${gap / 2} 0V${gap}`} />
        </pattern>
      </defs>
      <g transform={`matrix(${matrixOf(camera).join(' ')})`}>
        <path fill={`url(#${hatch})`} fill-rule="evenodd" d={outside} />
        <path class="unfit-outline" d={outline} />
      </g>
    </svg>
  );
}
