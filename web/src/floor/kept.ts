// What the floor page keeps on this machine: which cap is on, and breaks and ticks that the server has
// not yet taken. Without storage they last as long as the page.
import type { BreakToLog, Ticks } from './floorApi';

export interface KeptBreak extends BreakToLog {
  event: string; // its name in the log
  at: string; // when it was told
  stitch: number;
  refused?: string; // why the server does not take it
}

/** A name that no other break has. */
export function newEvent(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return Array.from(bytes, (b) => (b % 36).toString(36)).join('');
}

export interface Kept {
  cap: number; // that is on the machine, from 1
  breaks: KeptBreak[];
  ticks: Ticks | null; // null: the server has them
}

const key = (job: string) => `buckram.floor.${job}`;

export function readKept(job: string): Kept {
  try {
    const read = JSON.parse(localStorage.getItem(key(job)) ?? 'null') as Partial<Kept> | null;
    return {
      cap: Number.isInteger(read?.cap) && (read?.cap ?? 0) > 0 ? read!.cap! : 1,
      breaks: Array.isArray(read?.breaks)
        ? read.breaks.filter((each) => typeof each.event === 'string')
        : [],
      ticks: read?.ticks && typeof read.ticks === 'object' ? read.ticks : null,
    };
  } catch {
    return { cap: 1, breaks: [], ticks: null };
  }
}

export function writeKept(job: string, kept: Kept): void {
  try {
    localStorage.setItem(key(job), JSON.stringify(kept));
  } catch {
    // Full or forbidden: the page still holds it.
  }
}
