// Colours of the printed-chart look for what is painted rather than styled (canvas, WebGL). The same
// figures as styles' tokens and as the printed chart's ink.

export type Rgb = readonly [number, number, number];

export const kPaper = '#fbfaf5';
export const kSea = '#eceeea';
export const kInk = '#1d2225';
export const kInk2 = '#4a5052';
export const kLine = '#80837e';
export const kRule = '#cfcdc3';
export const kAccent = '#a03313';

/** Six steps of one hue, lightness falling evenly: order survives colour-blind eyes and grey print. */
export const kHazard = ['#fbe1da', '#fab9a7', '#eb8a6f', '#cf5a3b', '#a03313', '#691b04'] as const;
/** Chances a stitch where each class after the first begins; fixed, so that two plans compare. */
export const kHazardEdges = [1e-7, 1e-6, 6e-6, 3e-5, 1.2e-4] as const;
/** Sewing time, first to last, in ink: eight even steps of lightness. */
export const kTimeSteps = [
  '#e3e1d8',
  '#c9c8c1',
  '#b0b0ab',
  '#979995',
  '#7e8180',
  '#656a6a',
  '#4c5254',
  '#1d2225',
] as const;

/** 0 to 5. */
export function hazardClass(chance: number): number {
  let k = 0;
  while (k < kHazardEdges.length && chance >= kHazardEdges[k]!) ++k;
  return k;
}

/** "#rrggbb"; anything else gives a middle grey, so that a damaged thread entry still shows. */
export function parseRgb(text: string): Rgb {
  const m = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(text);
  if (!m) return [128, 128, 128];
  return [Number.parseInt(m[1]!, 16), Number.parseInt(m[2]!, 16), Number.parseInt(m[3]!, 16)];
}

export function hex([r, g, b]: Rgb): string {
  return `#${[r, g, b].map((v) => Math.round(v).toString(16).padStart(2, '0')).join('')}`;
}

/** `share` of `other` in `colour`, 0 to 1, mixed in sRGB as inks on paper are. */
export function mix(colour: string, other: string, share: number): string {
  const a = parseRgb(colour);
  const b = parseRgb(other);
  const at = (k: 0 | 1 | 2) => a[k] * (1 - share) + b[k] * share;
  return hex([at(0), at(1), at(2)]);
}

/** WCAG 2.2 relative luminance, 0 to 1. */
export function luminance(colour: string): number {
  const linear = (v: number) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  const [r, g, b] = parseRgb(colour).map((v) => linear(v / 255)) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** WCAG 2.2 contrast ratio, 1 to 21. */
export function contrast(a: string, b: string): number {
  const [la, lb] = [luminance(a), luminance(b)];
  return (Math.max(la, lb) + 0.05) / (Math.min(la, lb) + 0.05);
}

/** The three strokes of a thread: edge darker by 38 %, more for threads near the paper's lightness. */
export function threadInks(thread: string, land: string) {
  const dark = contrast(thread, land) < 1.6 ? 0.55 : 0.38;
  const light = parseRgb(mix(thread, '#ffffff', 0.45));
  return {
    edge: mix(thread, '#000000', dark),
    body: hex(parseRgb(thread)),
    light: `rgba(${light.map(Math.round).join(',')},0.7)`,
  };
}
