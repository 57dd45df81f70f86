// How wide words are, and where they are not to stand: boxes that are taken. Plot px, y down.
import type { Box } from './camera';

export type Face = 'serif' | 'sans' | 'italic';

export interface Type {
  face: Face;
  px: number;
  bold?: boolean;
  tracking?: number; // em
}

/** Width of a line in px. */
export type Measure = (words: string, type: Type) => number;

export interface Label {
  x: number;
  y: number; // of the base line
  words: string;
  type: Type;
  anchor: 'start' | 'middle' | 'end';
  turn?: number; // degrees, clockwise
  look: string; // class
  card?: Box; // cleared under the words
}

/** By the page's own faces, through a canvas; about half an em a letter where there is none. */
export function pageMeasure(): Measure {
  const styles = getComputedStyle(document.documentElement);
  const family = (name: string, otherwise: string) =>
    styles.getPropertyValue(name).trim() || otherwise;
  const serif = family('--serif', 'serif');
  const sans = family('--sans', 'sans-serif');
  const context = document.createElement('canvas').getContext('2d');
  const known = new Map<string, number>();
  return (words, type) => {
    const font = `${type.face === 'italic' ? 'italic ' : ''}${type.bold ? '600 ' : ''}${type.px}px ${
      type.face === 'sans' ? sans : serif
    }`;
    const key = `${font}|${words}`;
    let width = known.get(key);
    if (width === undefined) {
      if (context) context.font = font;
      width = context?.measureText(words).width ?? words.length * 0.5 * type.px;
      known.set(key, width);
    }
    return width + (type.tracking ?? 0) * type.px * words.length;
  };
}

export function labelBox(label: Label, measure: Measure): Box {
  const width = measure(label.words, label.type);
  const back = label.anchor === 'start' ? 0 : label.anchor === 'middle' ? 0.5 : 1;
  const turn = ((label.turn ?? 0) * Math.PI) / 180;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const xs: number[] = [];
  const ys: number[] = [];
  for (const x of [-back * width, (1 - back) * width])
    for (const y of [-0.75 * label.type.px, 0.22 * label.type.px]) {
      xs.push(label.x + x * c - y * s);
      ys.push(label.y + x * s + y * c);
    }
  return { x0: Math.min(...xs), y0: Math.min(...ys), x1: Math.max(...xs), y1: Math.max(...ys) };
}

export function meets(a: Box, b: Box, margin: number): boolean {
  return (
    a.x0 < b.x1 + margin && b.x0 < a.x1 + margin && a.y0 < b.y1 + margin && b.y0 < a.y1 + margin
  );
}

export function joined(boxes: Box[]): Box {
  return {
    x0: Math.min(...boxes.map((b) => b.x0)),
    y0: Math.min(...boxes.map((b) => b.y0)),
    x1: Math.max(...boxes.map((b) => b.x1)),
    y1: Math.max(...boxes.map((b) => b.y1)),
  };
}

export const round = (x: number, y: number, r: number): Box => ({
  x0: x - r,
  y0: y - r,
  x1: x + r,
  y1: y + r,
});

/** Later comers give way. */
export class Taken {
  readonly boxes: Box[] = [];
  isFree(box: Box, margin: number): boolean {
    return !this.boxes.some((other) => meets(other, box, margin));
  }
  add(box: Box) {
    this.boxes.push(box);
  }
  /** Takes the box when it is free. */
  take(box: Box, margin: number): boolean {
    if (!this.isFree(box, margin)) return false;
    this.add(box);
    return true;
  }
}

/** Words broken into lines of at most `room` px; a word alone may be wider. */
export function brokenLines(words: string, type: Type, room: number, measure: Measure): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of words.split(' ')) {
    const longer = line ? `${line} ${word}` : word;
    if (line && measure(longer, type) > room) {
      lines.push(line);
      line = word;
    } else {
      line = longer;
    }
  }
  return line ? [...lines, line] : lines;
}
