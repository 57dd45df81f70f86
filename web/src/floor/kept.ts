// What the floor page keeps on this machine: which cap is on, and breaks and ticks that the server has
// not yet taken. Without storage they last as long as the page.
import type { BreakToLog, Ticks } from './floorApi';

export interface KeptBreak extends BreakToLog {
  id: string;
  at: string; // when it was told
  stitch: number;
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
        ? read.breaks.map((each) => ({ ...each, broke: each.broke ?? 'needle' }))
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
