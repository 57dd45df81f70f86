// After a stop: the stitch that was tapped, how far to go back, what to check with the power off; and
// the log of breaks.
import { useEffect, useState } from 'preact/hooks';
import { briefPart } from '../drawing/callouts';
import { thousands } from '../words/figures';
import type { Broke, LoggedBreak } from './floorApi';
import type { Restart } from './goBack';
import type { KeptBreak } from './kept';
import type { FloorHandle } from './useFloor';

const kChecks = [
  'every piece found',
  'new needle, seated',
  'hook: no burr',
  'thread path clear',
] as const;

export function Stopped({
  restart,
  handle,
  onDone,
}: {
  restart: Restart | null;
  handle: FloorHandle;
  onDone: () => void;
}) {
  const [checks, setChecks] = useState<string[]>([]);
  const [note, setNote] = useState('');
  useEffect(() => setChecks([]), [restart?.entry]);
  if (!restart)
    return (
      <>
        <p class="floor-lead">Tap the place on the chart where it stopped.</p>
        <p>The stitch, its block and how far to go back then stand here.</p>
        <Log handle={handle} />
      </>
    );
  const back = restart.stitch - restart.backStitch;
  const isAllFound = checks.includes(kChecks[0]);
  const log = (broke: Broke) => {
    const { entry, needle, stitch } = restart;
    handle.log({ entry, needle, note: note.trim(), broke }, stitch);
    setNote('');
    onDone();
  };
  return (
    <>
      <p class="floor-sentence" aria-live="polite">
        {briefPart(restart.part)}, stitch <b>{thousands(restart.stitch)}</b>.<br />
        {back > 0 ? (
          <>
            {`Go back ${back}, to `}
            <b>{thousands(restart.backStitch)}</b>.
          </>
        ) : (
          'Start again at that stitch: the thread begins there.'
        )}
      </p>
      <p>{`Block ${restart.block}, needle ${restart.needle}. Before you start again, with the power off:`}</p>
      <ul class="floor-checks">
        {kChecks.map((words) => (
          <li key={words}>
            <label>
              <input
                type="checkbox"
                checked={checks.includes(words)}
                onChange={(event) =>
                  setChecks((all) =>
                    event.currentTarget.checked
                      ? [...all, words]
                      : all.filter((each) => each !== words),
                  )
                }
              />
              <span>{words}</span>
            </label>
          </li>
        ))}
      </ul>
      {!isAllFound && <p class="floor-small">Pieces missing: the cap stays in the shop.</p>}
      <label class="floor-note">
        <span>What was found, if anything</span>
        <input
          type="text"
          maxLength={200}
          value={note}
          onInput={(event) => setNote(event.currentTarget.value)}
        />
      </label>
      <div class="floor-buttons">
        <button type="button" class="is-first" onClick={() => log('needle')}>
          Needle broke: log it
        </button>
        <button type="button" onClick={() => log('thread')}>
          Thread broke: log it
        </button>
        <button type="button" onClick={onDone}>
          Nothing broke
        </button>
      </div>
      <Log handle={handle} />
    </>
  );
}

function Log({ handle }: { handle: FloorHandle }) {
  const { breaks, waiting } = handle;
  if (!breaks.length && !waiting.length) return null;
  return (
    <div class="floor-log" role="status">
      <h3>Breaks logged</h3>
      <ul>
        {waiting.map((each) => (
          <li key={each.event}>
            <span>
              {each.refused
                ? `${breakWords(each)}, not logged: ${each.refused}`
                : `${breakWords(each)}, kept here until Buckram answers`}
            </span>
            <button type="button" onClick={() => handle.dropWaiting(each.event)}>
              Take back
            </button>
          </li>
        ))}
        {[...breaks].reverse().map((each) => (
          <li key={each.event}>
            <span>{breakWords(each)}</span>
            <button type="button" onClick={() => handle.takeBack(each.event)}>
              Take back
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}

function breakWords({ cap, stitch, needle, note, broke }: LoggedBreak | KeptBreak): string {
  const what = broke === 'thread' ? `thread of needle ${needle}` : `needle ${needle}`;
  return `Cap ${cap}, stitch ${thousands(stitch)}, ${what}${note ? `: ${note}` : ''}`;
}
