// The crown chart: the cap's front unrolled, drawn like a topographic map, with the stitches on it.
import type { ComponentChildren } from 'preact';
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Shading, Units, View, Xy } from '../types';
import { lengthsIn } from '../words/figures';
import type { Callout } from './callouts';
import { type Box, type Camera, toMm } from './camera';
import { type ChartLayout, detailWords, layOut } from './chartLayout';
import { levelsOf } from './contours';
import { Frame, kMargins } from './Frame';
import { Ground } from './Ground';
import { ChartKey, Ramp } from './Key';
import { landColour } from './land';
import { pageMeasure } from './lettering';
import { makeFinder } from './nearest';
import { nextBlock, nextStitch, type Plan, planOf } from './plan';
import { sewnLand } from './sewnLand';
import { StitchLayer } from './stitchLayer';
import { stitchSentence, stitchWords } from './stitchWords';
import { type CameraHold, useCamera } from './useCamera';
import { density, useWidth } from './useSize';
import { Words } from './Words';

export interface ChartProps {
  view: View;
  /** The entry that is picked, or null. */
  cursor: number | null;
  onCursor: (entry: number) => void;
  shading: Shading;
  units: Units;
  /** Out of date: drawn at 55 %. */
  stale: boolean;
  /** What is sewn after this entry shows at 16 %; null shows all as sewn. */
  sewnTo: number | null;
  phone: boolean;
  /** As the cap sits on the machine: turned by half a turn. */
  turned?: boolean;
  /** A small chart beside its own words: without key, names and reading line, worst places by number. */
  plain?: boolean;
  /** Without worst places, too. */
  bare?: boolean;
  /** Drawn over everything, by the camera. */
  over?: (camera: Camera) => ComponentChildren;
}

/** Height by width: so much that verdict, chart and strip stand on one screen. */
const kMostHigh = 0.6;

/** What is shown at first: the window; on a phone or beside its own words the design with some room. */
function baseBox(view: View, props: ChartProps, isNarrow: boolean, art: Plan['box']): Box {
  const [x0, y0, x1, y1] = view.ground.window;
  if (view.unfit) return { x0, y0, x1, y1 }; // all of what does not fit
  const wide = art ? Math.max(Math.abs(art[0]), art[2]) + (props.plain ? 17 : 4) : 0;
  const half = isNarrow || props.plain ? Math.max(props.plain ? 36 : 30, wide) : x1;
  const box = { x0: Math.max(x0, -half), y0, x1: Math.min(x1, half), y1 };
  if (props.plain && art) box.y1 = Math.min(y1, art[3] + 8);
  const most = (isNarrow ? 1.6 : props.plain ? 0.85 : kMostHigh) * (box.x1 - box.x0);
  if (box.y1 - y0 <= most) return box;
  if (art && art[3] + 6 <= y0 + most) return { ...box, y1: y0 + most };
  const middle = art ? (art[1] + art[3]) / 2 : y0;
  const low = Math.min(Math.max(y0, middle - most / 2), box.y1 - most);
  return { ...box, y0: low, y1: low + most };
}

function useReach(props: ChartProps) {
  const { view } = props;
  const plan = useMemo(() => planOf(view), [view.entries, view.blocks]);
  const levels = useMemo(() => levelsOf(view.ground.gap), [view.ground.gap]);
  const sewn = useMemo(() => sewnLand(plan), [plan]);
  const finder = useMemo(() => makeFinder(plan), [plan]);
  const land = useMemo(() => landColour(plan, view.ground.cap.rgb), [plan, view.ground.cap.rgb]);
  return useMemo(() => ({ plan, levels, sewn, finder, land }), [plan, levels, sewn, finder, land]);
}

export function Chart(props: ChartProps) {
  const { view, cursor, phone, units } = props;
  const host = useRef<HTMLDivElement>(null);
  const plot = useRef<HTMLDivElement>(null);
  const width = useWidth(host);
  const reach = useReach(props);
  const { plan } = reach;
  const [hovered, setHovered] = useState<number | null>(null);
  const [told, setTold] = useState<Callout['place'] | null>(null);
  const isNarrow = phone || (width > 0 && width < 520);
  const margins = isNarrow ? { left: 1, right: 1, top: 1, bottom: 1 } : kMargins;
  const [wx0, wy0, wx1, wy1] = view.ground.window;
  const base = useMemo(
    () => baseBox(view, props, isNarrow, plan.box),
    [wx0, wy0, wx1, wy1, isNarrow, props.plain, plan.box, view.unfit],
  );
  const plotWidth = Math.max(0, width - margins.left - margins.right);
  const plotHeight = Math.round((plotWidth * (base.y1 - base.y0)) / (base.x1 - base.x0));
  const pick = ([px, py]: Xy, c: Camera) =>
    reach.finder.nearest(...toMm(c, px, py), Math.max(0.6, 14 / c.scale));
  const hold: CameraHold = useCamera({
    plot,
    width: plotWidth,
    height: plotHeight,
    base,
    bounds: { x0: wx0, y0: wy0, x1: wx1, y1: wy1 },
    turned: props.turned ?? false,
    onTap: (px, py) => {
      const found = hold.camera && pick([px, py], hold.camera);
      setTold(null);
      if (found !== null) props.onCursor(found);
    },
    onHover: (at) => setHovered(at && hold.camera ? pick(at, hold.camera) : null),
  });
  const { camera } = hold;
  const layout = useLayout(props, reach, camera, isNarrow);
  const canvas = useStitches(props, plan, reach.land, camera);
  useEffect(() => setTold(null), [plan]);
  const isPicked = hovered ?? cursor;
  useEffect(() => {
    if (cursor !== null && plan.n > cursor) hold.show(plan.x[cursor]!, plan.y[cursor]!);
  }, [cursor, plan]);
  const label = chartLabel(props);
  return (
    <figure class={`chart${isNarrow ? ' narrow' : ''}${props.stale ? ' stale' : ''}`} ref={host}>
      {camera && (
        <div
          class="chart-sheet"
          style={{
            height: `${plotHeight + margins.top + margins.bottom}px`,
          }}
        >
          {!isNarrow && (
            <Frame
              camera={camera}
              units={units}
              lowest={view.ground.unreachable_mm > 0 ? view.ground.usual.lowest_mm : null}
            />
          )}
          <div
            class="chart-plot"
            ref={plot}
            role="application"
            // biome-ignore lint/a11y/noNoninteractiveTabindex: a drawing that takes keys
            tabIndex={0}
            aria-label={label}
            style={{
              left: `${margins.left}px`,
              top: `${margins.top}px`,
              width: `${plotWidth}px`,
              height: `${plotHeight}px`,
              touchAction: hold.isBase && isNarrow ? 'pan-y' : 'none',
            }}
            onKeyDown={(event) => onKey(event, props, plan, hold)}
          >
            <Ground ground={view.ground} levels={reach.levels} land={reach.land} camera={camera} />
            <canvas ref={canvas} class="chart-stitches" />
            <Words
              view={view}
              plan={plan}
              land={reach.land}
              camera={camera}
              layout={layout}
              picked={isPicked}
              hasMarks={!props.plain}
              hasScaleBar={isNarrow && !props.plain}
              units={units}
              onPlace={({ place }) => {
                setTold(place);
                props.onCursor(place.entry);
              }}
            />
            {props.over && <div class="chart-over">{props.over(camera)}</div>}
          </div>
        </div>
      )}
      {!props.plain && plan.n > 0 && (
        <ReadingLine
          place={hovered === null ? told : null}
          entry={isPicked}
          props={props}
          plan={plan}
        />
      )}
      {!props.plain && <Ramp shading={props.shading} seconds={view.time_s} />}
      {!props.plain && <ChartKey ground={view.ground} units={units} />}
    </figure>
  );
}

function chartLabel({ view, sewnTo }: ChartProps): string {
  const n = view.blocks.length ? `${planOf(view).stitches} stitches` : 'no stitches yet';
  const worst = view.worst.length ? `, ${view.worst.length} worst places` : '';
  const sewn = sewnTo === null ? '' : ', sewn in part';
  return `Crown chart of ${view.ground.cap.title}: ${n}${worst}${sewn}. Arrow keys step from stitch to stitch, Page keys from block to block, plus and minus zoom, 0 shows all.`;
}

function ReadingLine({
  place,
  entry,
  props,
  plan,
}: {
  place: Callout['place'] | null;
  entry: number | null;
  props: ChartProps;
  plan: Plan;
}) {
  const words = entry === null ? null : stitchWords(props.view, plan, entry, props.units);
  return (
    <p class="chart-reading">
      {place ? (
        <>
          <b>{`${place.number}  ${lengthsIn(`${place.part}, ${place.where}`, props.units)}.`}</b>
          {` ${detailWords(props.view, place, props.units)}. ${place.why}`}
        </>
      ) : words ? (
        <>
          <b>{words.title}</b>
          {[words.object, words.layer, words.place, words.gap, words.chance]
            .filter(Boolean)
            .map((part) => ` · ${part}`)
            .join('')}
        </>
      ) : (
        <span class="chart-hint">
          {props.phone
            ? 'Tap a stitch for its place, gap and chance of a break.'
            : 'Point at a stitch for its place, gap and chance of a break. Drag moves the chart, the wheel zooms, a double click brings it back.'}
        </span>
      )}
      <span class="unseen" aria-live="polite">
        {props.cursor !== null && props.sewnTo === null
          ? stitchSentence(props.view, plan, props.cursor, props.units)
          : ''}
      </span>
    </p>
  );
}

function onKey(event: KeyboardEvent, props: ChartProps, plan: Plan, hold: CameraHold) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const from = props.cursor ?? -1;
  const step = (by: 1 | -1) => props.onCursor(nextStitch(plan, from, by));
  const block = (by: 1 | -1) => props.onCursor(nextBlock(plan, Math.max(0, from), by));
  const acts: Record<string, () => void> = {
    ArrowRight: () => (event.shiftKey ? hold.shift(-60, 0) : step(1)),
    ArrowLeft: () => (event.shiftKey ? hold.shift(60, 0) : step(-1)),
    ArrowUp: () => hold.shift(0, 60),
    ArrowDown: () => hold.shift(0, -60),
    PageDown: () => block(1),
    PageUp: () => block(-1),
    '+': () => hold.zoom(1.4),
    '=': () => hold.zoom(1.4),
    '-': () => hold.zoom(1 / 1.4),
    '0': () => hold.fitAll(),
  };
  const act = acts[event.key];
  if (!act || !plan.n) return;
  event.preventDefault();
  act();
}

const kRest_ms = 140;

/** Words are placed anew when the chart has come to rest; in between they go with their places. */
function useLayout(
  props: ChartProps,
  reach: ReturnType<typeof useReach>,
  camera: Camera | null,
  isNarrow: boolean,
): ChartLayout | null {
  const measure = useMemo(pageMeasure, []);
  const [resting, setResting] = useState<Camera | null>(null);
  useEffect(() => {
    if (!camera || camera === resting) return;
    if (!resting || camera.width !== resting.width) return setResting(camera);
    const timer = setTimeout(() => setResting(camera), kRest_ms);
    return () => clearTimeout(timer);
  }, [camera, resting]);
  const { view, units } = props;
  return useMemo(
    () =>
      resting &&
      layOut({
        view,
        plan: reach.plan,
        land: reach.sewn,
        levels: reach.levels,
        camera: resting,
        units,
        measure,
        hasWords: !isNarrow && !props.plain,
        hasMarks: !props.plain,
        hasWorst: !props.bare,
        hasScaleBar: isNarrow,
      }),
    [resting, view, reach, units, isNarrow, props.plain, props.bare],
  );
}

function useStitches(props: ChartProps, plan: Plan, land: string, camera: Camera | null) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const layer = useMemo(() => new StitchLayer(), []);
  const frame = useRef(0);
  useLayoutEffect(() => {
    if (!camera || !canvas.current) return;
    const element = canvas.current;
    const k = density();
    const [w, h] = [Math.round(camera.width * k), Math.round(camera.height * k)];
    if (element.width !== w || element.height !== h) {
      element.width = w;
      element.height = h;
    }
    const context = element.getContext('2d');
    if (!context) return;
    layer.set(plan, props.shading, land);
    const draw = (now: number) => {
      frame.current = 0;
      if (layer.draw(context, camera, k, props.sewnTo, now))
        frame.current = requestAnimationFrame(draw);
    };
    draw(performance.now());
    return () => cancelAnimationFrame(frame.current);
  }, [plan, props.shading, land, camera, props.sewnTo]);
  return canvas;
}
