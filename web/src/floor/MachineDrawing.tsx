// The cap as it sits on the machine: which way up, where the needle starts, and the place that was
// tapped.

import { Chart } from '../drawing/Chart';
import { type Camera, toPx } from '../drawing/camera';
import { planOf } from '../drawing/plan';
import { Start } from '../drawing/Words';
import type { Units, View } from '../types';
import { length, lengthAside } from '../words/figures';

export function MachineDrawing({
  view,
  units,
  tapped,
  onTap,
}: {
  view: View;
  units: Units;
  tapped: number | null;
  onTap: (entry: number) => void;
}) {
  const isTurned = Math.round(view.ground.turn_deg) === 180;
  const arrow = <Bill isUp={isTurned} />;
  return (
    <div class="floor-machine">
      {isTurned && arrow}
      <Chart
        view={view}
        cursor={tapped}
        onCursor={onTap}
        shading="threads"
        units={units}
        stale={false}
        sewnTo={null}
        phone={true}
        turned={isTurned}
        plain={true}
        bare={true}
        over={(camera) => <Over view={view} camera={camera} units={units} tapped={tapped} />}
      />
      {!isTurned && arrow}
    </div>
  );
}

function Bill({ isUp }: { isUp: boolean }) {
  const arrow = isUp ? 'M19 50V6M3 24L19 5L35 24' : 'M19 4V48M3 30L19 49L35 30';
  return (
    <div class="floor-bill">
      <span>as you face it</span>
      <svg
        width="160"
        height="54"
        viewBox="0 0 160 54"
        role="img"
        aria-label="The bill is on this side"
      >
        <path d={arrow} />
        <text x="48" y="38">
          BILL
        </text>
      </svg>
    </div>
  );
}

function Over({
  view,
  camera,
  units,
  tapped,
}: {
  view: View;
  camera: Camera;
  units: Units;
  tapped: number | null;
}) {
  const [sx, sy] = view.ground.start;
  const start = toPx(camera, sx, sy);
  const [, seam] = toPx(camera, sx, 0);
  const plan = planOf(view);
  // Beside the design, where it leaves room.
  const art = plan.box ? toPx(camera, camera.turned ? plan.box[0] : plan.box[2], 0)[0] : start[0];
  const x = Math.min(camera.width - 74, Math.max(art + 22, start[0] + 40));
  const [low, high] = [Math.min(start[1], seam), Math.max(start[1], seam)];
  const place = tapped === null ? null : toPx(camera, plan.x[tapped] ?? 0, plan.y[tapped] ?? 0);
  const isLeft = place !== null && place[0] > 150;
  return (
    <svg class="floor-over" width={camera.width} height={camera.height} aria-hidden="true">
      <path class="halo" d={`M${x} ${low}V${high}`} />
      <path class="size" d={`M${x - 8} ${low}h16M${x - 8} ${high}h16M${x} ${low}V${high}`} />
      <path class="size dashed" d={`M${start[0] + 22} ${start[1]}H${x}`} />
      <text class="size-words" x={x + 10} y={(low + high) / 2}>
        {length(sy, units)}
      </text>
      <text class="size-aside" x={x + 10} y={(low + high) / 2 + 18}>
        {lengthAside(sy, units)}
      </text>
      <Start at={start} r={13} />
      {place && (
        <>
          <circle class="tap-halo" cx={place[0]} cy={place[1]} r={17} />
          <circle class="tap" cx={place[0]} cy={place[1]} r={17} />
          <path
            class="tap-lead"
            d={`M${place[0] + (isLeft ? -17 : 17)} ${place[1]}h${isLeft ? -34 : 34}`}
          />
          <text
            class="tap-words"
            text-anchor={isLeft ? 'end' : 'start'}
            x={place[0] + (isLeft ? -56 : 56)}
            y={place[1] + 5}
          >
            you tapped here
          </text>
        </>
      )}
    </svg>
  );
}
