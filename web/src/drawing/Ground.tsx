// The land under the stitches: sea and shore, tint and contours, the seam's ridge, no-go land. Drawn
// once for each ground in chart mm; panning and zooming change one matrix and one length.
import { useId, useMemo } from 'preact/hooks';
import type { Ground as GroundData, Xy } from '../types';
import { type Camera, matrixOf } from './camera';
import type { Level } from './contours';
import { kLine, kSea, mix } from './ink';
import { boundsOf, contains } from './places';
import { seeded, stipple } from './stipple';
import { boxPath, dotsPath, linePath } from './svgPath';

const kShoreLines = [6.8, 5.1, 3.7, 2.5, 1.5, 0.7]; // mm off the shore, farthest first

export function Ground({
  ground,
  levels,
  land,
  camera,
}: {
  ground: GroundData;
  levels: Level[];
  land: string;
  camera: Camera;
}) {
  const clip = useId();
  // A typed gap brings a new ground with the same cap: only the relief is drawn anew.
  const { gap: _gap, readings: _readings, start: _start, ...shape } = ground;
  const still = useMemo(() => stillGround(ground, land, clip), [JSON.stringify(shape), land, clip]);
  const relief = useMemo(() => reliefOf(levels), [levels]);
  return (
    <svg class="chart-ground" width={camera.width} height={camera.height} aria-hidden="true">
      <g
        transform={`matrix(${matrixOf(camera).join(' ')})`}
        style={{ '--u': `${1 / camera.scale}px` }}
      >
        {still.under}
        <g clip-path={`url(#${clip})`}>{relief.tint}</g>
        {still.seam}
        <g clip-path={`url(#${clip})`}>{relief.lines}</g>
        {still.over}
      </g>
    </svg>
  );
}

function reliefOf(levels: Level[]) {
  const tint = levels
    .filter(({ ground }) => ground.length)
    .map(({ level, ground }) => (
      <path key={level} class="tint" d={ground.map((ring) => linePath(ring, true)).join('')} />
    ));
  const lines = levels
    .filter((level) => level.lines.length)
    .map(({ level, lines }) => (
      <path
        key={level}
        class={level < 0.3 ? 'contour-quarter' : level % 1 < 0.01 ? 'contour-index' : 'contour'}
        d={lines.map((line) => linePath(line.points, line.closed)).join('')}
      />
    ));
  return { tint, lines };
}

function stripOf(ground: GroundData) {
  if (!(ground.unreachable_mm > 0)) return null;
  const field = boundsOf(ground.field);
  const [wx0, , wx1] = ground.window;
  const x0 = Math.max(field?.x0 ?? wx0, wx0);
  const x1 = Math.min(field?.x1 ?? wx1, wx1);
  return x1 > x0 ? { x0, y0: 0, x1, y1: ground.unreachable_mm } : null;
}

function stillGround(ground: GroundData, land: string, clip: string) {
  const [x0, y0, x1, y1] = ground.window;
  const strip = stripOf(ground);
  // The field without what is kept off: rings within rings, by the even-odd rule.
  const field = [ground.field, ...ground.keep_outs].map((ring) => linePath(ring, true)).join('');
  const stripPath = strip ? boxPath(strip.x0, strip.y0, strip.x1, strip.y1) : '';
  const under = (
    <>
      <rect class="sea" x={x0 - 400} y={y0 - 400} width={x1 - x0 + 800} height={y1 - y0 + 800} />
      {field && kShoreLines.map((off) => <ShoreLine key={off} off={off} field={field} />)}
      <path d={field} fill={land} fill-rule="evenodd" />
      <path d={stripPath} fill={land} />
      <clipPath id={clip}>
        <path d={field} clip-rule="evenodd" />
        <path d={stripPath} />
      </clipPath>
    </>
  );
  const seam = ground.cap.has_seam ? <Seam y0={y0} y1={y1} /> : null;
  const over = (
    <>
      {strip && (
        <>
          <path class="strip-land" d={stripPath} fill={land} />
          <path
            class="dots"
            d={dotsPath(
              stipple({ ...strip, y0: 0.25, y1: strip.y1 - 0.2 }, (_x, y) => y / strip.y1, 5),
            )}
          />
        </>
      )}
      {keepOuts(ground, land)}
      {ground.cap.eyelets.map((eyelet, k) => (
        <Eyelet key={`${eyelet[0]} ${eyelet[1]}`} eyelet={eyelet} land={land} seed={11 + k} />
      ))}
      <path class="shore" d={field} />
      <path class="bill-seam" d={`M${x0 - 20} 0H${x1 + 20}`} />
      {practiceLines(ground)}
    </>
  );
  return { under, seam, over };
}

/** A line at `off` mm from the shore: the rim of a stroke twice as wide, which joins round. */
function ShoreLine({ off, field }: { off: number; field: string }) {
  const colour = mix(kSea, kLine, 0.75 - 0.11 * [0.7, 1.5, 2.5, 3.7, 5.1, 6.8].indexOf(off));
  return (
    <>
      <path
        d={field}
        fill="none"
        stroke={colour}
        stroke-linejoin="round"
        style={{ strokeWidth: `calc(${2 * off}px + 0.6*var(--u))` }}
      />
      <path
        d={field}
        fill="none"
        class="sea-line"
        stroke-linejoin="round"
        style={{ strokeWidth: `calc(${2 * off}px - 0.6*var(--u))` }}
      />
    </>
  );
}

// Strokes down both flanks of the seam's ridge, long and short in turn.
function Seam({ y0, y1 }: { y0: number; y1: number }) {
  const random = seeded(3);
  let strokes = '';
  let row = 0;
  for (let y = y0 + 0.6; y < y1; y += 0.9, ++row)
    for (const side of [-1, 1]) {
      const far = (row % 2 ? 3.5 : 2.24) + (random() - 0.5) * 0.6;
      strokes += linePath([
        [side * 0.55, y],
        [side * far, y - 0.35],
      ]);
    }
  return (
    <>
      <path class="hachure" d={strokes} />
      <path class="ridge" d={`M-0.45 ${y0 - 20}V${y1 + 20}M0.45 ${y0 - 20}V${y1 + 20}`} />
    </>
  );
}

function Eyelet({
  eyelet,
  land,
  seed,
}: {
  eyelet: [number, number, number];
  land: string;
  seed: number;
}) {
  const [x, y, r] = eyelet;
  const hole = 2.1;
  const island = Math.max(hole + 1, r - 0.4);
  const dots = stipple(
    { x0: x - island, y0: y - island, x1: x + island, y1: y + island },
    (u, v) => {
      const d = Math.hypot(u - x, v - y);
      return d > island - 0.4 || d < hole + 0.3 ? -1 : (island - 0.4 - d) / 3;
    },
    seed,
  );
  return (
    <>
      <circle class="island" cx={x} cy={y} r={island} fill={land} />
      <path class="dots" d={dotsPath(dots)} />
      <circle class="eyelet" cx={x} cy={y} r={hole} />
    </>
  );
}

/** Land that is kept off for another reason than eyelets and bill. */
function keepOuts(ground: GroundData, land: string) {
  const isTold = (ring: Xy[]) => {
    const box = boundsOf(ring);
    if (!box || box.y1 <= ground.unreachable_mm + 0.5) return true;
    const [mx, my] = [(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2];
    return ground.cap.eyelets.some(([x, y, r]) => Math.hypot(x - mx, y - my) < r);
  };
  return ground.keep_outs
    .filter((ring) => !isTold(ring))
    .map((ring, k) => {
      const box = boundsOf(ring)!;
      const dots = stipple(box, (x, y) => (contains(ring, x, y) ? 0.6 : -1), 31 + k);
      return (
        <g key={linePath(ring)}>
          <path class="island" d={linePath(ring, true)} fill={land} />
          <path class="dots" d={dotsPath(dots)} />
        </g>
      );
    });
}

function practiceLines(ground: GroundData) {
  const field = boundsOf(ground.field);
  const x0 = field?.x0 ?? ground.window[0];
  const x1 = field?.x1 ?? ground.window[2];
  const { lowest_mm, top_mm } = ground.usual;
  const at = [ground.unreachable_mm > 0 ? lowest_mm : null, top_mm].filter((y) => y !== null);
  return at.map((y) => <path key={y} class="practice" d={`M${x0} ${y}H${x1}`} />);
}
