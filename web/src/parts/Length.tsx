import type { Units } from '../types';
import { length, lengthAside } from '../words/figures';

/** "46 mm" with "1.81 in" smaller beside it, or the other way round. */
export function Length({ mm, units }: { mm: number; units: Units }) {
  return (
    <>
      {length(mm, units)} <small class="in">{lengthAside(mm, units)}</small>
    </>
  );
}
