// Where words stand on the chart for one camera. Made when the chart rests; while it moves, each word
// goes with the place it belongs to.
import type { Units, View, WorstPlace, Xy } from '../types';
import { length, lengthsIn, percent } from '../words/figures';
import { briefPart, type Callout, placeCallouts } from './callouts';
import { type Box, type Camera, toMm, toPx } from './camera';
import { gapAt, type Level } from './contours';
import { ringPx } from './leaders';
import { type Label, type Measure, round, Taken } from './lettering';
import { placeFigures, placeNames, placeReadings, takeReadings } from './places';
import type { Plan } from './plan';
import type { SewnLand } from './sewnLand';

export interface ChartLayout {
  camera: Camera;
  names: Label[];
  callouts: Callout[];
}

export interface LayoutInput {
  view: View;
  plan: Plan;
  land: SewnLand;
  levels: Level[];
  camera: Camera;
  units: Units;
  measure: Measure;
  hasWords: boolean; // beside the worst places; else numbers only
  hasMarks: boolean; // measured gaps, the start, names and figures
  hasWorst: boolean;
  hasScaleBar: boolean;
}

const kMostCallouts = 6;

/** A figure stays with its unit when the line is broken. */
function titleWords(place: WorstPlace, units: Units): string {
  const where = lengthsIn(place.where, units);
  return `${briefPart(place.part)}, ${where}`.replace(/(?<=\d) (mm|in)( up)?/g, (unit) =>
    unit.replaceAll(' ', '\u00a0'),
  );
}

export function detailWords(view: View, place: WorstPlace, units: Units): string {
  const gap = gapAt(view.ground.gap, place.x_mm, place.y_mm);
  const first = gap === null ? place.detail : `gap ${length(gap, units)}`;
  return `${first} · ${percent(place.share)} of the risk`;
}

/** The design's box in px; a point in the plot's middle without any. */
function artBox(plan: Plan, camera: Camera): Box {
  if (!plan.box) return round(camera.width / 2, camera.height / 2, 0);
  const a = toPx(camera, plan.box[0], plan.box[1]);
  const b = toPx(camera, plan.box[2], plan.box[3]);
  return {
    x0: Math.min(a[0], b[0]),
    y0: Math.min(a[1], b[1]),
    x1: Math.max(a[0], b[0]),
    y1: Math.max(a[1], b[1]),
  };
}

export function layOut(input: LayoutInput): ChartLayout {
  const { view, plan, camera, measure, units } = input;
  const { ground } = view;
  const taken = new Taken();
  const room = { camera, taken, measure, units };
  const art = artBox(plan, camera);
  const names: Label[] = [];
  let callouts: Callout[] = [];
  if (input.hasScaleBar) taken.add({ x0: 0, y0: 0, x1: 150, y1: 40 });
  if (input.hasMarks) {
    takeReadings(ground.readings, room);
    taken.add(round(...toPx(camera, ...ground.start), 20));
  }
  if (input.hasWorst) {
    const worst = view.worst.slice(0, kMostCallouts);
    callouts = placeCallouts(worst, {
      ...room,
      art,
      land: input.land,
      hasWords: input.hasWords,
      title: (place) => titleWords(place, units),
      detail: (place) => detailWords(view, place, units),
    });
    for (const p of worst) taken.add(round(...toPx(camera, p.x_mm, p.y_mm), ringPx(camera)));
  }
  if (input.hasMarks) names.push(...placeReadings(ground.readings, room));
  if (plan.box) taken.add(art);
  if (input.hasMarks)
    names.push(...placeNames(ground, room), ...placeFigures(input.levels, ground, room));
  return { camera, names, callouts };
}

/** A px place of the layout's camera as it stands under another. */
export function carry(from: Camera, to: Camera): (at: Xy) => Xy {
  if (from === to) return (at) => at;
  return ([x, y]) => toPx(to, ...toMm(from, x, y));
}
