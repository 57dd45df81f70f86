// What went wrong, where, and what to do.
import type { Fault } from '../types';

export function FaultNote({ fault, onLeave }: { fault: Fault; onLeave?: () => void }) {
  return (
    <div class="fault" role="alert">
      <p>
        <b>{fault.what}</b>
        {fault.where && <span class="where"> {fault.where}</span>}
      </p>
      {fault.hint && <p>{fault.hint}</p>}
      {onLeave && (
        <button type="button" class="quiet" onClick={onLeave}>
          Understood
        </button>
      )}
    </div>
  );
}
