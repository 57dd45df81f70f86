// Millimetres or inches first: kept on this machine, for every job.
import { useCallback, useState } from 'preact/hooks';
import type { Units } from '../types';

const kKept = 'buckram.units';

export function unitsKept(): Units {
  try {
    return localStorage.getItem(kKept) === 'inch' ? 'inch' : 'mm';
  } catch {
    return 'mm';
  }
}

export function useUnits(): [Units, (units: Units) => void] {
  const [units, setUnits] = useState<Units>(unitsKept);
  const keep = useCallback((next: Units) => {
    setUnits(next);
    try {
      localStorage.setItem(kKept, next);
    } catch {
      // Without storage the choice lasts as long as the page.
    }
  }, []);
  return [units, keep];
}
