// The cap, turning to face the needle; drag or arrow keys turn it by hand.
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { isOnPaper } from '../state/on_paper';
import type { View } from '../types';
import type { CapPose, CapScene } from './capScene';
import { CapShape } from './capShape';
import { planOf } from './plan';
import { ribbonsOf } from './ribbons';
import { density, useWidth, wantsStill } from './useSize';

export interface CapProps {
  view: View;
  /** Where the needle stands: the cap turns to face it. null: as on a shelf. */
  cursor: number | null;
  /** Only what is sewn up to and with this entry is shown; otherwise all. */
  sewnTo?: number | null;
}

const kRest: CapPose = { yaw: (-31 * Math.PI) / 180, pitch: (15 * Math.PI) / 180 };
const kAside = (-24 * Math.PI) / 180; // the needle is faced a little from the side, so that it shows
const kMove_ms = 180;
const kLowest = 0.05;
const kHighest = 1.2;

/** The pose that faces the needle. */
function facing(shape: CapShape, place: [number, number] | null): CapPose {
  if (!place) return kRest;
  const [x, y] = place;
  return {
    yaw: kAside - shape.angle(x, y),
    pitch: Math.min(0.7, Math.max(kRest.pitch, 0.8 * shape.lean(y))),
  };
}

export function Cap({ view, cursor, sewnTo = null }: CapProps) {
  const host = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const width = useWidth(host);
  const [scene, setScene] = useState<CapScene | null>(null);
  const [isFlat, setIsFlat] = useState(false);
  const { cap } = view.ground;
  const shape = useMemo(() => new CapShape(cap), [cap]);
  const plan = useMemo(() => planOf(view), [view.entries, view.blocks]);
  const place = useMemo(
    (): [number, number] | null =>
      cursor === null || cursor >= plan.n ? null : [plan.x[cursor]!, plan.y[cursor]!],
    [plan, cursor],
  );
  const height = Math.round(Math.min(width * 0.78, 340));

  useEffect(() => {
    let isGone = false;
    let made: CapScene | null = null;
    import('./capScene')
      .then((m) => {
        if (isGone || !canvas.current) return;
        made = new m.CapScene(canvas.current);
        setScene(made);
      })
      .catch(() => setIsFlat(true));
    return () => {
      isGone = true;
      made?.dispose();
    };
  }, []);

  const pose = useTurning(shape, place, scene);
  useEffect(() => {
    if (!scene) return;
    scene.setCap(shape, cap);
    scene.setRibbons(ribbonsOf(plan, shape));
    scene.setNeedle(shape, place);
    scene.setSewn(sewnTo);
    pose.draw();
  }, [scene, shape, plan]);
  useEffect(() => {
    // Paper takes the picture as it stands: a new one would come a frame too late.
    if (!scene || width < 1 || isOnPaper()) return;
    scene.setSize(width, height, density());
    pose.draw();
  }, [scene, width, height]);
  useEffect(() => {
    if (!scene) return;
    scene.setSewn(sewnTo);
    scene.setNeedle(shape, place);
    pose.draw();
  }, [scene, cursor, sewnTo]);

  if (isFlat)
    return <p class="cap-flat">This browser draws no 3-D pictures. The run sheet shows the cap.</p>;
  return (
    <figure class="cap-figure" ref={host}>
      <div
        class="cap-view"
        role="application"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a drawing that takes keys
        tabIndex={0}
        aria-label={`The cap in the round, ${cap.title}${cursor === null ? '' : ', turned to the needle'}. Arrow keys turn it.`}
        style={{ height: `${height}px` }}
        onPointerDown={pose.onDown}
        onPointerMove={pose.onMove}
        onKeyDown={pose.onKey}
        onDblClick={pose.home}
      >
        <canvas ref={canvas} />
      </div>
    </figure>
  );
}

const kRest_ms = 120; // without a move for so long, or for three frames, the cap is drawn smooth

/** Moves to where the needle is in 0.18 s, or at once where less motion is asked for. */
function useTurning(shape: CapShape, place: [number, number] | null, scene: CapScene | null) {
  const state = useRef({ pose: { ...kRest }, frame: 0, rest: 0, shown: 0, last: [0, 0] });
  const stop = () => {
    cancelAnimationFrame(state.current.frame);
    clearTimeout(state.current.rest);
    state.current.frame = 0;
  };
  const show = () => {
    const s = state.current;
    scene?.render(s.pose, false);
    clearTimeout(s.rest);
    const now = performance.now();
    const between = Math.min(1000, now - s.shown); // of frames, on a slow machine while it turns
    s.shown = now;
    s.rest = window.setTimeout(
      () => scene?.render(s.pose, true),
      between < 1000 ? Math.max(kRest_ms, 3 * between) : kRest_ms,
    );
  };
  const draw = () => {
    if (state.current.frame || !scene) return;
    state.current.frame = requestAnimationFrame(() => {
      state.current.frame = 0;
      show();
    });
  };
  const moveTo = (target: CapPose) => {
    stop();
    const from = { ...state.current.pose };
    // The shorter way round.
    const turn = Math.atan2(Math.sin(target.yaw - from.yaw), Math.cos(target.yaw - from.yaw));
    const still = wantsStill();
    const began = performance.now();
    const step = (now: number) => {
      const t = still ? 1 : Math.min(1, Math.max(0, now - began) / kMove_ms);
      const s = t * (2 - t);
      state.current.pose = {
        yaw: from.yaw + s * turn,
        pitch: from.pitch + s * (target.pitch - from.pitch),
      };
      show();
      state.current.frame = t < 1 ? requestAnimationFrame(step) : 0;
    };
    state.current.frame = requestAnimationFrame(step);
  };
  useEffect(() => {
    if (scene) moveTo(facing(shape, place));
    return stop;
  }, [scene, shape, place]);

  const turn = (yaw: number, pitch: number) => {
    const { pose } = state.current;
    state.current.pose = {
      yaw: pose.yaw + yaw,
      pitch: Math.min(kHighest, Math.max(kLowest, pose.pitch + pitch)),
    };
    draw();
  };
  return {
    draw,
    home: () => moveTo(facing(shape, place)),
    onDown: (event: PointerEvent) => {
      if (event.button !== 0) return;
      (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
      state.current.last = [event.clientX, event.clientY];
    },
    onMove: (event: PointerEvent) => {
      if (!(event.currentTarget as HTMLElement).hasPointerCapture(event.pointerId)) return;
      const [x, y] = state.current.last;
      state.current.last = [event.clientX, event.clientY];
      turn((event.clientX - x!) * 0.009, (event.clientY - y!) * 0.007);
    },
    onKey: (event: KeyboardEvent) => {
      const by: Record<string, [number, number]> = {
        ArrowLeft: [-0.15, 0],
        ArrowRight: [0.15, 0],
        ArrowUp: [0, 0.1],
        ArrowDown: [0, -0.1],
      };
      const step = by[event.key];
      if (event.key === '0') moveTo(facing(shape, place));
      if (!step) return;
      event.preventDefault();
      turn(...step);
    },
  };
}
