// The cap in the round: the crown swept from its profile round the head's ellipse, and the bill. Space
// is x to the right of the front as one looks at it, y up, z out of the front, mm.
import type { CapShape as CapData } from '../types';

export type Vec = [number, number, number];

/**
 * The head is longer than wide: a circle of radius 1 is drawn as an ellipse of the same length round,
 * its half axes along and across in the ratio given. Angles stay shares of the length round, so that
 * what is sewn keeps its width on the cloth.
 */
export class HeadEllipse {
  readonly across: number;
  readonly along: number;
  private readonly table: Float64Array; // parameter at even steps of length from 0 to pi
  constructor(ratio: number) {
    const [fine, steps] = [720, 360];
    const speed = (t: number) => Math.hypot(Math.cos(t), ratio * Math.sin(t));
    const step = Math.PI / fine;
    const length = new Float64Array(fine + 1);
    for (let k = 0; k < fine; ++k) {
      const t = k * step; // Simpson's rule on each step
      length[k + 1] =
        length[k]! + (step / 6) * (speed(t) + 4 * speed(t + step / 2) + speed(t + step));
    }
    const all = length[fine]!;
    this.across = Math.PI / all;
    this.along = this.across * ratio;
    this.table = new Float64Array(steps + 1);
    let at = 0;
    for (let k = 0; k <= steps; ++k) {
      const wanted = (all * k) / steps;
      while (at + 2 < length.length && length[at + 1]! < wanted) ++at;
      const share = (wanted - length[at]!) / (length[at + 1]! - length[at]!);
      this.table[k] = (at + share) * step;
    }
  }
  /** The ellipse's parameter, from the front, after `a` of length round; odd. */
  parameter(a: number): number {
    const size = Math.abs(a);
    if (size >= Math.PI) return a;
    const place = (size / Math.PI) * (this.table.length - 1);
    const k = Math.min(Math.floor(place), this.table.length - 2);
    const t = this.table[k]! + (place - k) * (this.table[k + 1]! - this.table[k]!);
    return a < 0 ? -t : t;
  }
}

/** Estimates, from memory, where the server says nothing. */
const kBill = { half_rad: (74 * Math.PI) / 180, long_mm: 68, drop_mm: 5, curve_per_mm: 0.0024 };

export class CapShape {
  readonly top: number; // arc to the button
  private readonly s: number[];
  private readonly r: number[];
  private readonly z: number[];
  private readonly head: HeadEllipse;
  private readonly billSize: typeof kBill;
  constructor(cap: CapData) {
    this.s = cap.profile.map((p) => p[0]);
    this.r = cap.profile.map((p) => p[1]);
    this.z = cap.profile.map((p) => p[2]);
    this.top = Math.min(cap.arc_to_button_mm, this.s.at(-1) ?? 0);
    this.head = new HeadEllipse(cap.head_ratio > 0 ? cap.head_ratio : 1);
    this.billSize = { ...kBill, ...cap.bill };
  }
  private at(values: number[], y: number): number {
    const { s } = this;
    let low = 0;
    let high = s.length - 1;
    while (high - low > 1) {
      const mid = (low + high) >> 1;
      if (s[mid]! <= y) low = mid;
      else high = mid;
    }
    const span = s[high]! - s[low]!;
    const t = span > 0 ? (y - s[low]!) / span : 0; // a line beyond both ends
    return values[low]! + t * (values[high]! - values[low]!);
  }
  radius(y: number): number {
    return Math.max(0, this.at(this.r, y));
  }
  height(y: number): number {
    return this.at(this.z, y);
  }
  /** Of the profile from upright, rad. */
  lean(y: number): number {
    const [a, b] = [Math.max(0, y - 1), Math.min(this.top, y + 1)];
    return Math.atan2(
      this.at(this.r, a) - this.at(this.r, b),
      this.at(this.z, b) - this.at(this.z, a),
    );
  }
  /** At angle `a` from the front and arc `y` up, `lift` off the cloth. */
  crown(a: number, y: number, lift = 0): Vec {
    const lean = this.lean(y);
    const out = this.radius(y) + lift * Math.cos(lean);
    const t = this.head.parameter(a);
    return [
      this.head.across * out * Math.sin(t),
      this.height(y) + lift * Math.sin(lean),
      this.head.along * out * Math.cos(t),
    ];
  }
  /** Angle of a chart place from the front: arc over radius. */
  angle(x: number, y: number): number {
    return x / Math.max(1, this.radius(y));
  }
  onChart(x: number, y: number, lift = 0): Vec {
    return this.crown(this.angle(x, y), y, lift);
  }
  /** Outwards, length 1. */
  normal(a: number, y: number): Vec {
    const lean = this.lean(y);
    const t = this.head.parameter(a);
    return unit([
      (Math.sin(t) * Math.cos(lean)) / this.head.across,
      Math.sin(lean),
      (Math.cos(t) * Math.cos(lean)) / this.head.along,
    ]);
  }
  /** `t` from -1 to 1 along its seam, `out` from 0 at the seam to 1 at the edge. */
  bill(t: number, out: number): Vec {
    const size = this.billSize;
    const seam = this.crown(t * size.half_rad, 0);
    const tongue = size.long_mm * Math.cos((t * Math.PI) / 2) ** 0.62 * out;
    const flat = 1 - Math.abs(t) ** 5; // the corners stay at the seam
    const x = seam[0] * (1 - 0.06 * out * Math.abs(t));
    return [
      x,
      seam[1] + (-size.curve_per_mm * x * x - size.drop_mm) * out * flat,
      seam[2] + tongue,
    ];
  }
}

export function unit([x, y, z]: Vec): Vec {
  const n = Math.hypot(x, y, z);
  return n > 0 ? [x / n, y / n, z / n] : [0, 0, 0];
}

export function cross(a: Vec, b: Vec): Vec {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/**
 * Seams and eyelets by angle. A one-piece front takes the room of two panels; eyelets are where the
 * cap's file has them and, behind these, in the middle of each panel.
 */
export function panelAngles(
  cap: CapData,
  radius: (arc: number) => number,
): { seams: number[]; eyelets: number[] } {
  const panels = Math.min(8, Math.max(4, cap.panels ?? (cap.has_seam ? 6 : 5)));
  const n = panels + (cap.has_seam ? 0 : 1);
  const turns = Array.from({ length: n }, (_, k) => (2 * Math.PI * k) / n);
  const isOwnFront = !cap.has_seam || cap.eyelets.length > 0;
  return {
    seams: cap.has_seam ? turns : turns.slice(1),
    eyelets: [
      ...cap.eyelets.map(([x, y]) => x / radius(y)),
      ...(isOwnFront ? turns.slice(1, -1) : turns).map((a) => a + Math.PI / n),
    ],
  };
}
