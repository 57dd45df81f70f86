// The strip's picture: drawn once for each view and width; the handle moves over it.
import { useMemo } from 'preact/hooks';
import type { View } from '../types';
import { kHazard, luminance, mix, threadInks } from './ink';
import { kPin } from './leaders';
import type { Plan } from './plan';
import { type StripFrame, timeX } from './RunStrip';
import { heightShare, type Profile, profileOf, speedsOf, tickStep, visitsOf } from './runProfile';
import { boxPath } from './svgPath';
import { Pin } from './Words';

const kBand = 22;
const kSlice = 4; // px

export function StripPicture({
  view,
  plan,
  frame,
  bestHazard,
}: {
  view: View;
  plan: Plan;
  frame: StripFrame;
  bestHazard: number[] | null;
}) {
  const picture = useMemo(() => {
    const slices = Math.max(20, Math.floor((frame.right - frame.left) / kSlice));
    const { hazard, time_s } = view.entries;
    const own = profileOf(hazard, time_s, slices);
    const best = bestHazard && profileOf(bestHazard, time_s, slices);
    const top = 1.06 * Math.max(own.top, best?.top ?? 0);
    return (
      <>
        <Grid frame={frame} />
        <ProfileShape frame={frame} profile={own} top={top} />
        <path class="profile" d={profileLine(frame, own, top)} />
        {best && <path class="profile best" d={profileLine(frame, best, top)} />}
        <path class="strip-base" d={`M${frame.left} ${frame.base}H${frame.right}`} />
        <Band view={view} frame={frame} />
        <Trims view={view} plan={plan} frame={frame} />
        <Speed view={view} frame={frame} />
        <Minutes frame={frame} />
        <Pins view={view} frame={frame} profile={own} top={top} />
      </>
    );
  }, [view, plan, frame, bestHazard]);
  return (
    <svg class="run-strip-picture" width={frame.width} height={frame.height} aria-hidden="true">
      {picture}
    </svg>
  );
}

const shareY = (f: StripFrame, share: number) => f.base - (f.base - f.top) * share;

function Grid({ frame }: { frame: StripFrame }) {
  const y = (share: number) => shareY(frame, share);
  return (
    <>
      {[0.25, 0.5, 0.75, 1].map((q) => (
        <path key={q} class="strip-grid" d={`M${frame.left} ${y(q)}H${frame.right}`} />
      ))}
      {!frame.isNarrow && (
        <>
          <text class="axis end" x={frame.left - 8} y={y(1) + 4}>
            most
          </text>
          <text class="axis end" x={frame.left - 8} y={y(0.5) + 4}>
            ¼
          </text>
          <text class="axis end" x={frame.left - 8} y={y(0) + 4}>
            0
          </text>
          <text class="axis middle" transform={`translate(10 ${y(0.5)}) rotate(-90)`}>
            hazard, √
          </text>
        </>
      )}
    </>
  );
}

function sliceX(f: StripFrame, profile: Profile, k: number): number {
  return f.left + ((f.right - f.left) * k) / profile.height.length;
}

/** One path for each class, so that 300 slices stay six shapes. */
function ProfileShape({
  frame,
  profile,
  top,
}: {
  frame: StripFrame;
  profile: Profile;
  top: number;
}) {
  const paths = kHazard.map(() => '');
  profile.height.forEach((v, k) => {
    const y = shareY(frame, heightShare(v, top));
    const step = profile.worst[k]!;
    if (step < 0 || frame.base - y < 0.3) return;
    paths[step] += boxPath(
      sliceX(frame, profile, k),
      y,
      sliceX(frame, profile, k + 1) + 0.3,
      frame.base,
    );
  });
  return (
    <>{paths.map((d, step) => d && <path key={kHazard[step]} fill={kHazard[step]} d={d} />)}</>
  );
}

function profileLine(frame: StripFrame, profile: Profile, top: number): string {
  const points: string[] = [];
  profile.height.forEach((v, k) => {
    const x = (sliceX(frame, profile, k) + sliceX(frame, profile, k + 1)) / 2;
    points.push(`${x.toFixed(1)} ${shareY(frame, heightShare(v, top)).toFixed(1)}`);
  });
  return points.length ? `M${points.join('L')}` : '';
}

function Band({ view, frame }: { view: View; frame: StripFrame }) {
  const { band } = frame;
  return (
    <>
      {visitsOf(view).map((visit) => {
        const thread = view.threads[visit.thread];
        if (!thread) return null;
        const [x0, x1] = [timeX(frame, visit.from_s), timeX(frame, visit.to_s)];
        let twill = '';
        for (let x = x0 + 2.5; x < x1 - 0.5; x += 2.5) twill += `M${x.toFixed(1)} ${band}v${kBand}`;
        const name = `${thread.needle}  ${thread.name}`;
        const words =
          x1 - x0 > 7 * name.length + 14 ? name : x1 - x0 > 22 ? String(thread.needle) : '';
        return (
          <g key={visit.from_s}>
            <rect x={x0} y={band} width={Math.max(0, x1 - x0)} height={kBand} fill={thread.rgb} />
            <path class="twill" d={twill} stroke={mix(thread.rgb, '#000000', 0.26)} />
            {words && (
              <>
                <rect
                  x={x0 + 4}
                  y={band + 4}
                  width={words.length > 2 ? 6.1 * words.length + 8 : 16}
                  height={14}
                  fill={threadInks(thread.rgb, '#ffffff').body}
                />
                <text
                  class="band-words"
                  x={x0 + 8}
                  y={band + 15}
                  fill={luminance(thread.rgb) < 0.25 ? '#ffffff' : '#1d2225'}
                >
                  {words}
                </text>
              </>
            )}
          </g>
        );
      })}
      <rect
        class="frame-line"
        x={frame.left}
        y={band}
        width={Math.max(0, frame.right - frame.left)}
        height={kBand}
      />
    </>
  );
}

function Trims({ view, plan, frame }: { view: View; plan: Plan; frame: StripFrame }) {
  const y = frame.band + kBand + 1.5;
  let marks = '';
  for (let i = 0; i < plan.n; ++i)
    if (view.entries.op[i] === 't')
      marks += `M${timeX(frame, view.entries.time_s[i] ?? 0).toFixed(1)} ${y}l2.6 5h-5.2Z`;
  return (
    <>
      <path class="bars" d={marks} />
      {!frame.isNarrow && marks && (
        <text class="axis end" x={frame.left - 8} y={y + 7}>
          trims
        </text>
      )}
    </>
  );
}

/** A stepped line where the speed varies; else one line of words tells it. */
function Speed({ view, frame }: { view: View; frame: StripFrame }) {
  const speeds = speedsOf(view);
  if (speeds.length < 2) return null;
  const all = speeds.map((s) => s.spm);
  const [least, most] = [Math.min(...all), Math.max(...all)];
  const low = frame.axis - 4;
  const y = (spm: number) => low - (14 * (spm - least)) / Math.max(1, most - least);
  const d = speeds
    .map(
      (s, k) =>
        `${k ? 'L' : 'M'}${timeX(frame, s.from_s).toFixed(1)} ${y(s.spm)}H${timeX(frame, s.to_s).toFixed(1)}`,
    )
    .join('');
  return (
    <>
      <path class="speed" d={d} />
      {!frame.isNarrow && (
        <>
          <text class="axis-other end" x={frame.left - 8} y={y(most) + 3}>
            {Math.round(most)}
          </text>
          <text class="axis-other end" x={frame.left - 8} y={y(least) + 4}>
            {Math.round(least)}
          </text>
        </>
      )}
    </>
  );
}

function Minutes({ frame }: { frame: StripFrame }) {
  const step = tickStep(frame.seconds, Math.max(4, Math.min(14, (frame.right - frame.left) / 60)));
  const ticks: number[] = [];
  for (let t = 0; t <= frame.seconds; t += step) ticks.push(t);
  return (
    <>
      <path class="axis-tick" d={`M${frame.left} ${frame.axis}H${frame.right}`} />
      {ticks.map((t) => (
        <g key={t}>
          <path class="axis-tick" d={`M${timeX(frame, t)} ${frame.axis}v5`} />
          <text class={`axis ${t ? 'middle' : ''}`} x={timeX(frame, t)} y={frame.axis + 17}>
            {step < 60 ? `${t}${t ? '' : ' s'}` : `${t / 60}${t ? '' : ' min'}`}
          </text>
        </g>
      ))}
    </>
  );
}

/** Numbered discs over their peaks; aside, further each time, until each stands free. */
function Pins({
  view,
  frame,
  profile,
  top,
}: {
  view: View;
  frame: StripFrame;
  profile: Profile;
  top: number;
}) {
  const used: [number, number][] = [];
  return (
    <>
      {view.worst.slice(0, 6).map((place) => {
        const seconds = view.entries.time_s[place.entry] ?? 0;
        const at = timeX(frame, seconds);
        const n = profile.height.length;
        const k = Math.min(n - 1, Math.floor((seconds / frame.seconds) * n));
        const y = Math.max(kPin, shareY(frame, heightShare(profile.height[k] ?? 0, top)) - 11);
        let x = at;
        for (let s = 1; s < 30; ++s) {
          if (!used.some(([u, v]) => Math.abs(u - x) < 19 && Math.abs(v - y) < 19)) break;
          const aside = (s % 2 ? -1 : 1) * 10 * Math.ceil(s / 2);
          x = Math.min(frame.right - kPin, Math.max(frame.left + kPin, at + aside));
        }
        used.push([x, y]);
        return <Pin key={place.number} at={[x, y]} number={place.number} />;
      })}
    </>
  );
}
