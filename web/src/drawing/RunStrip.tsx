// The run strip: the job along time, like the elevation profile of a route. Hazard over the thread
// band over the time axis; the handle sews chart and cap.
import { useMemo, useRef } from 'preact/hooks';
import type { Units, View } from '../types';
import { duration } from '../words/figures';
import { entryAt, nextBlock, nextStitch, type Plan, planOf } from './plan';
import { minutesAndSeconds, speedsOf } from './runProfile';
import { SewAlong } from './SewAlong';
import { StripPicture } from './StripPicture';
import { stitchSentence } from './stitchWords';
import { useWidth } from './useSize';

export interface RunStripProps {
  view: View;
  /** Sewn up to and with this entry; null stands for the end. */
  cursor: number | null;
  onCursor: (entry: number) => void;
  playing: boolean;
  onPlaying: (playing: boolean) => void;
  /** By entry, with the best changes on; drawn as dashes. */
  bestHazard: number[] | null;
  units: Units;
  stale: boolean;
}

export interface StripFrame {
  width: number;
  left: number;
  right: number; // px of the plot's ends
  top: number;
  base: number; // of the profile
  band: number;
  axis: number;
  height: number;
  seconds: number;
  isNarrow: boolean;
}

const kBand = 22;
const kSpeed = 26;

function frameOf(width: number, view: View, hasSpeed: boolean): StripFrame {
  const isNarrow = width < 520;
  const base = isNarrow ? 104 : 124;
  const band = base + 7;
  const axis = band + kBand + 11 + (hasSpeed ? kSpeed : 0);
  return {
    width,
    left: isNarrow ? 8 : 46,
    right: width - 8,
    top: 20,
    base,
    band,
    axis,
    height: axis + 20,
    seconds: Math.max(1, view.entries.time_s.at(-1) ?? 0),
    isNarrow,
  };
}

export const timeX = (f: StripFrame, seconds: number) =>
  f.left + ((f.right - f.left) * Math.min(seconds, f.seconds)) / f.seconds;

export function RunStrip(props: RunStripProps) {
  const { view, cursor, onCursor } = props;
  const host = useRef<HTMLDivElement>(null);
  const width = useWidth(host);
  const plan = useMemo(() => planOf(view), [view.entries, view.blocks]);
  const hasSpeed = useMemo(() => speedsOf(view).length > 1, [view.blocks, view.entries]);
  const frame = useMemo(() => frameOf(width, view, hasSpeed), [width, view, hasSpeed]);
  const at = cursor ?? plan.n - 1;
  const seconds = view.entries.time_s[at] ?? 0;
  const last = Math.max(0, plan.n - 1);
  const scrub = (event: PointerEvent) => {
    const box = host.current?.getBoundingClientRect();
    if (!box) return;
    const share = (event.clientX - box.left - frame.left) / (frame.right - frame.left);
    const to = entryAt(view.entries.time_s, Math.min(1, Math.max(0, share)) * frame.seconds);
    props.onPlaying(false);
    if (to !== cursor) onCursor(to);
  };
  return (
    <figure class={`run-strip${props.stale ? ' stale' : ''}`}>
      <div class="run-strip-head">
        <SewAlong
          plan={plan}
          at={at}
          playing={props.playing}
          onPlaying={props.onPlaying}
          onCursor={onCursor}
        />
        {props.bestHazard && (
          <p class="run-strip-legend">
            <span class="line" /> as it stands <span class="line dashed" /> with the best changes
          </p>
        )}
      </div>
      <div
        ref={host}
        class="run-strip-plot"
        role="slider"
        tabIndex={0}
        aria-label="Run strip: sewn so far"
        aria-orientation="horizontal"
        aria-valuemin={0}
        aria-valuemax={last}
        aria-valuenow={Math.max(0, at)}
        aria-valuetext={`${minutesAndSeconds(seconds)} of ${duration(frame.seconds)}. ${stitchSentence(view, plan, at, props.units)}`}
        style={{ height: `${frame.height}px` }}
        onKeyDown={(event) => onKey(event, plan, at, props)}
        onPointerDown={(event) => {
          if (event.button !== 0) return;
          event.currentTarget.setPointerCapture(event.pointerId);
          scrub(event);
        }}
        onPointerMove={(event) => {
          if (event.currentTarget.hasPointerCapture(event.pointerId)) scrub(event);
        }}
      >
        {width > 0 && (
          <>
            <StripPicture view={view} plan={plan} frame={frame} bestHazard={props.bestHazard} />
            <Handle frame={frame} seconds={cursor === null ? frame.seconds : seconds} />
          </>
        )}
      </div>
    </figure>
  );
}

/** What is not yet sewn is paler; the handle stands where the needle is. */
function Handle({ frame, seconds }: { frame: StripFrame; seconds: number }) {
  const x = timeX(frame, seconds);
  const foot = frame.band + kBand + 6;
  return (
    <svg class="run-strip-handle" width={frame.width} height={frame.height} aria-hidden="true">
      <rect
        class="ahead"
        x={x}
        y={frame.top - 2}
        width={Math.max(0, frame.right - x)}
        height={frame.band + kBand + 1 - frame.top + 2}
      />
      <path d={`M${x} ${frame.top - 6}V${foot}`} />
      <circle cx={x} cy={frame.top - 11} r="5" />
    </svg>
  );
}

function onKey(event: KeyboardEvent, plan: Plan, at: number, props: RunStripProps) {
  if (event.ctrlKey || event.metaKey || event.altKey || !plan.n) return;
  const go: Record<string, () => number> = {
    ArrowRight: () => nextStitch(plan, at, 1),
    ArrowUp: () => nextStitch(plan, at, 1),
    ArrowLeft: () => nextStitch(plan, at, -1),
    ArrowDown: () => nextStitch(plan, at, -1),
    PageUp: () => nextBlock(plan, at, 1),
    PageDown: () => nextBlock(plan, at, -1),
    Home: () => 0,
    End: () => plan.n - 1,
  };
  const to = go[event.key];
  if (!to) return;
  event.preventDefault();
  props.onPlaying(false);
  props.onCursor(to());
}
