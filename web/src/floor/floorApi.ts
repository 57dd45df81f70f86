// The floor's routes of the server's API (docs/api.md, "Floor").
import { ask } from '../api';
import type { View } from '../types';

export interface FloorStep {
  id: string;
  label: string;
  value: string;
  inches: string;
  reason: string;
  is_change: boolean;
}

export interface FloorThread {
  thread: number;
  needle: number;
  name: string;
  number: string;
  rgb: string;
  stitches: number;
  first: number;
  end: number;
  needle_m: number;
  order_m: number;
  sews: string;
}

export interface FloorFacts {
  title: string;
  customer: string;
  caps: number;
  spare_caps: number;
  cap: string;
  mount: string;
  verdict: 'run' | 'rework' | 'refuse';
  sentence: string;
  steps: FloorStep[];
  threads: FloorThread[];
  cautions: string[];
  seconds_a_cap: number;
  stitches: number;
  way_up: { turn_deg: number; turned_by: 'file' | 'controller'; words: string };
  start: { x_mm: number; y_mm: number; words: string };
}

export type Broke = 'needle' | 'thread';

export type Ticks = Record<string, boolean>;

/** A break as it stands in the log. */
export interface LoggedBreak {
  event: string;
  at: string;
  entry: number;
  needle: number;
  cap: number;
  note: string;
  broke: Broke;
  stitch: number;
  block: number;
}

export interface Floor {
  revision: number;
  floor: FloorFacts;
  ticks: Ticks;
  breaks: LoggedBreak[];
}

export interface BreakToLog {
  /** Of the plan that is sewn. */
  revision: number;
  entry: number;
  needle: number;
  cap: number;
  note: string;
  broke: Broke;
}

export function floorApi(id: string) {
  const job = `/api/jobs/${encodeURIComponent(id)}`;
  return {
    floor: () => ask<Floor>('GET', `${job}/floor`),
    view: () => ask<View>('GET', `${job}/view`),
    tick: (ticks: Ticks) => ask<unknown>('PUT', `${job}/ticks`, { ticks }),
    breaks: () => ask<{ breaks: LoggedBreak[] }>('GET', `${job}/breaks`),
    /** The name is ours: sent again, the break is not logged again. */
    logBreak: (told: BreakToLog & { event: string; at: string }) =>
      ask<{ event: string; words: string }>('POST', `${job}/breaks`, told),
    takeBack: (event: string) =>
      ask<unknown>('DELETE', `${job}/breaks/${encodeURIComponent(event)}`),
  };
}
export type FloorApi = ReturnType<typeof floorApi>;
