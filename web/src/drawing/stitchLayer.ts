// The stitches as they are painted: three strokes on one path (dark edge, body, light) at true width,
// or shaded by hazard or time. What moves often is a copy of a finished picture; the picture itself
// is painted a few batches a frame, so that no frame waits for 50,000 stitches.

import { isOnPaper } from '../state/on_paper';
import type { Shading } from '../types';
import { type Camera, isSame, matrixOf, seenBox } from './camera';
import { kHazard, kLine, kTimeSteps, threadInks } from './ink';
import { type Batch, hottest, type Plan, shadeSteps } from './plan';

interface Stroke {
  colour: string;
  width: number; // mm
  path: Path2D;
}

interface Raster {
  camera: Camera; // of the raster itself: wider than the plot by a margin on each side
  density: number; // device px a px
  canvas: HTMLCanvasElement;
  context: CanvasRenderingContext2D;
  painted: number; // batches
  kept: { batch: number; canvas: HTMLCanvasElement }[]; // pictures on the way, for going back
  every: number; // batches between them
}

const kMargin = 0.2; // of the plot on each side
const kGhost = 0.16; // opacity of what is not yet sewn
const kRest_ms = 90; // a camera that has not moved for so long, or for three frames, is painted anew
const kKeptBytes = 48e6;

const kEdge = 0.42; // mm
const kBody = 0.31;
const kLight = 0.09;

function canvasOf(width: number, height: number) {
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(width));
  canvas.height = Math.max(1, Math.round(height));
  const context = canvas.getContext('2d');
  if (!context) throw new Error('this browser draws no pictures');
  return { canvas, context };
}

export class StitchLayer {
  private plan: Plan | null = null;
  private shading: Shading = 'threads';
  private land = '';
  private steps: Uint8Array | null = null;
  private hot: Int32Array = new Int32Array();
  private strokes: (Stroke[] | undefined)[] = [];
  private ready: Raster | null = null;
  private next: Raster | null = null;
  private base: { canvas: HTMLCanvasElement; context: CanvasRenderingContext2D } | null = null;
  private basePainted = 0;
  private baseOf: Raster | null = null;
  private camera: Camera | null = null;
  private movedAt = 0;
  private rest = kRest_ms;
  private budget = 2500; // stitches a frame
  private lastFrame = 0;

  set(plan: Plan, shading: Shading, land: string) {
    if (plan === this.plan && shading === this.shading && land === this.land) return;
    // The picture before stays until the new one is finished, so that nothing flickers.
    this.plan = plan;
    this.shading = shading;
    this.land = land;
    this.steps = shading === 'threads' ? null : shadeSteps(plan, shading);
    this.hot = shading === 'hazard' ? hottest(plan) : new Int32Array();
    this.strokes = [];
    this.next = null;
    this.baseOf = null;
    this.stale = true;
  }
  private stale = false;

  /** Paints into `out` (plot px times `density`). True while another frame is wanted. */
  draw(
    out: CanvasRenderingContext2D,
    camera: Camera,
    density: number,
    sewnTo: number | null,
    now: number,
  ): boolean {
    if (!this.plan || camera.width < 1 || camera.height < 1) return false;
    this.follow(camera, now);
    const isWanted = this.prepare(camera, density, now);
    const isBehind = this.compose(out, camera, density, sewnTo);
    this.lastFrame = isWanted || isBehind ? now : 0;
    return isWanted || isBehind;
  }

  private follow(camera: Camera, now: number) {
    if (!this.camera || !isSame(this.camera, camera)) {
      const between = now - this.movedAt;
      this.rest = between < 1000 ? Math.max(kRest_ms, 3 * between) : kRest_ms;
      this.movedAt = now;
    }
    this.camera = camera;
    if (this.lastFrame) {
      const took = now - this.lastFrame;
      if (took > 42) this.budget = Math.max(1500, this.budget * 0.7);
      else if (took < 24) this.budget = Math.min(12000, this.budget * 1.3);
    }
  }

  private prepare(camera: Camera, density: number, now: number): boolean {
    const fits = (raster: Raster | null) =>
      raster !== null &&
      raster.density === density &&
      raster.camera.scale === camera.scale &&
      raster.camera.turned === camera.turned &&
      covers(raster.camera, camera);
    if (!this.stale && fits(this.ready)) {
      this.next = null;
      return false;
    }
    if (!fits(this.next)) {
      this.next = null;
      if (this.ready && !this.stale && now - this.movedAt < this.rest) return true;
      this.next = this.begin(camera, density);
    }
    if (this.next && this.advance(this.next)) {
      this.ready = this.next;
      this.next = null;
      this.stale = false;
      return false;
    }
    return true;
  }

  private begin(camera: Camera, density: number): Raster {
    const wide = {
      ...camera,
      width: Math.ceil(camera.width * (1 + 2 * kMargin)),
      height: Math.ceil(camera.height * (1 + 2 * kMargin)),
    };
    const { canvas, context } = canvasOf(wide.width * density, wide.height * density);
    const bytes = canvas.width * canvas.height * 4;
    const batches = this.plan?.batches.length ?? 0;
    const most = Math.min(12, Math.max(1, Math.floor(kKeptBytes / bytes)));
    const every = Math.max(4, Math.ceil(batches / (most + 1)));
    return { camera: wide, density, canvas, context, painted: 0, kept: [], every };
  }

  private advance(raster: Raster): boolean {
    const plan = this.plan!;
    let left = this.budget;
    while (raster.painted < plan.batches.length && left > 0) {
      if (raster.painted > 0 && raster.painted % raster.every === 0) {
        const copy = canvasOf(raster.canvas.width, raster.canvas.height);
        copy.context.drawImage(raster.canvas, 0, 0);
        raster.kept.push({ batch: raster.painted, canvas: copy.canvas });
      }
      left -= this.paintBatch(raster.context, raster, raster.painted++);
    }
    if (raster.painted < plan.batches.length) return false;
    place(raster.context, raster.camera, raster.density);
    this.paintHot(raster.context, plan.n);
    return true;
  }

  /** True while the sewn part is not yet painted to the end. */
  private compose(
    out: CanvasRenderingContext2D,
    camera: Camera,
    density: number,
    sewnTo: number | null,
  ): boolean {
    const plan = this.plan!;
    const raster = this.ready ?? this.next;
    out.setTransform(1, 0, 0, 1, 0, 0);
    // A printed canvas has just been made; what is rubbed out on paper stays as white.
    if (!isOnPaper()) out.clearRect(0, 0, out.canvas.width, out.canvas.height);
    if (!raster) return false;
    const isPart = sewnTo !== null && sewnTo < plan.n - 1 && raster === this.ready && !this.stale;
    if (!isPart) {
      copy(out, raster.canvas, raster, camera, density);
      return false;
    }
    const whole = wholeBatches(plan.batches, sewnTo);
    const isThere = this.bringBase(raster, whole);
    out.globalAlpha = kGhost;
    copy(out, raster.canvas, raster, camera, density);
    out.globalAlpha = 1;
    copy(out, this.base!.canvas, raster, camera, density);
    const open = plan.batches[whole];
    place(out, camera, density);
    if (isThere && open && open.first <= sewnTo)
      paint(out, this.strokesOf({ ...open, end: sewnTo + 1 }));
    this.paintHot(out, sewnTo + 1);
    return !isThere;
  }

  /** Brings the picture of the sewn part to `whole` batches, some of the way in each frame. */
  private bringBase(raster: Raster, whole: number): boolean {
    const { width, height } = raster.canvas;
    if (!this.base || this.base.canvas.width !== width || this.base.canvas.height !== height) {
      this.base = canvasOf(width, height);
      this.baseOf = null;
    }
    const from = raster.kept.findLast((k) => k.batch <= whole);
    const isBehind = this.basePainted > whole || (from && from.batch > this.basePainted);
    if (this.baseOf !== raster || isBehind) {
      const { context } = this.base;
      context.setTransform(1, 0, 0, 1, 0, 0);
      context.clearRect(0, 0, width, height);
      if (from) context.drawImage(from.canvas, 0, 0);
      this.basePainted = from?.batch ?? 0;
      this.baseOf = raster;
    }
    let left = 2 * this.budget;
    while (this.basePainted < whole && left > 0)
      left -= this.paintBatch(this.base.context, raster, this.basePainted++);
    return this.basePainted === whole;
  }

  /** What it cost, in stitches. */
  private paintBatch(context: CanvasRenderingContext2D, raster: Raster, k: number): number {
    place(context, raster.camera, raster.density);
    const batch = this.plan!.batches[k]!;
    const strokes = this.strokes[k] ?? this.strokesOf(batch);
    this.strokes[k] = strokes;
    paint(context, strokes);
    return batch.end - batch.first + 30; // a path of its own costs about as much as 30
  }

  private paintHot(context: CanvasRenderingContext2D, end: number) {
    const plan = this.plan!;
    for (const step of [4, 5]) {
      const path = new Path2D();
      for (const i of this.hot) {
        if (i >= end || this.steps?.[i] !== step) continue;
        path.moveTo(plan.x[i - 1]!, plan.y[i - 1]!);
        path.lineTo(plan.x[i]!, plan.y[i]!);
      }
      if (this.hot.length) paint(context, [{ colour: kHazard[step]!, width: 0.46, path }]);
    }
  }

  private strokesOf(batch: Batch): Stroke[] {
    const plan = this.plan!;
    const all = new Path2D();
    const steps = this.steps;
    const byStep: (Path2D | undefined)[] = [];
    let open = -1; // the step of the path that ends at the entry before
    for (let i = batch.first; i < batch.end; ++i) {
      if (!plan.sewn[i]) {
        open = -1;
        continue;
      }
      const step = steps ? steps[i]! : 0;
      if (open < 0) all.moveTo(plan.x[i - 1]!, plan.y[i - 1]!);
      all.lineTo(plan.x[i]!, plan.y[i]!);
      if (steps) {
        byStep[step] ??= new Path2D();
        if (open !== step) byStep[step].moveTo(plan.x[i - 1]!, plan.y[i - 1]!);
        byStep[step].lineTo(plan.x[i]!, plan.y[i]!);
      }
      open = step;
    }
    if (steps) return [{ colour: kLine, width: 0.46, path: all }, ...this.shaded(byStep)];
    const inks = threadInks(plan.view.threads[batch.thread]?.rgb ?? '', this.land);
    return [
      { colour: inks.edge, width: kEdge, path: all },
      { colour: inks.body, width: kBody, path: all },
      { colour: inks.light, width: kLight, path: all },
    ];
  }

  private shaded(byStep: (Path2D | undefined)[]): Stroke[] {
    const colours: readonly string[] = this.shading === 'hazard' ? kHazard : kTimeSteps;
    return byStep.flatMap((path, step) =>
      path ? [{ colour: colours[step]!, width: 0.36, path }] : [],
    );
  }
}

function paint(context: CanvasRenderingContext2D, strokes: Stroke[]) {
  context.lineCap = 'round';
  context.lineJoin = 'round';
  for (const stroke of strokes) {
    context.strokeStyle = stroke.colour;
    context.lineWidth = stroke.width;
    context.stroke(stroke.path);
  }
}

/** Batches that lie wholly at or before the entry. */
function wholeBatches(batches: Batch[], entry: number): number {
  let low = 0;
  let high = batches.length;
  while (low < high) {
    const mid = (low + high) >> 1;
    if (batches[mid]!.end <= entry + 1) low = mid + 1;
    else high = mid;
  }
  return low;
}

function place(context: CanvasRenderingContext2D, camera: Camera, density: number) {
  const [a, b, c, d, e, f] = matrixOf(camera);
  context.setTransform(a * density, b, c, d * density, e * density, f * density);
}

/** Whether a raster holds all that the camera sees, to half a px. */
function covers(raster: Camera, camera: Camera): boolean {
  const [has, sees] = [seenBox(raster), seenBox(camera)];
  const slack = 0.5 / camera.scale;
  return (
    sees.x0 >= has.x0 - slack &&
    sees.x1 <= has.x1 + slack &&
    sees.y0 >= has.y0 - slack &&
    sees.y1 <= has.y1 + slack
  );
}

function copy(
  out: CanvasRenderingContext2D,
  picture: HTMLCanvasElement,
  raster: Raster,
  camera: Camera,
  density: number,
) {
  const k = camera.scale / raster.camera.scale;
  const [a, , , , e, f] = matrixOf(camera);
  const [ra, , , , re, rf] = matrixOf(raster.camera);
  const turn = a / ra > 0 ? 1 : -1;
  const s = (turn * k * density) / raster.density;
  // Raster px p lie at chart mm (p - re) / ra, which the camera sees at a · mm + e.
  let tx = (e - turn * k * re) * density;
  let ty = (f - turn * k * rf) * density;
  if (k === 1) [tx, ty] = [Math.round(tx), Math.round(ty)]; // copied, not blended
  out.setTransform(s, 0, 0, s, tx, ty);
  out.drawImage(picture, 0, 0);
}
