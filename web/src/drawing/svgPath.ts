// SVG path text of chart places, to 0.01 mm.
import type { Xy } from '../types';

const f = (v: number) => String(Math.round(v * 100) / 100);

export function linePath(points: readonly Xy[], closed = false): string {
  if (!points.length) return '';
  return `M${points.map(([x, y]) => `${f(x)} ${f(y)}`).join('L')}${closed ? 'Z' : ''}`;
}

export const boxPath = (x0: number, y0: number, x1: number, y1: number) =>
  `M${f(x0)} ${f(y0)}H${f(x1)}V${f(y1)}H${f(x0)}Z`;

export const dotsPath = (dots: readonly Xy[]) =>
  dots.map(([x, y]) => `M${f(x)} ${f(y)}h0`).join('');
