// One job in the list: its picture, its ticket in short, its verdict, and what can be done with it.
import { api } from '../api';
import { floorPath, jobPath } from '../router';
import type { JobRow, Lists, Units } from '../types';
import { figure, length, when } from '../words/figures';
import { Link } from './TopBar';

interface Props {
  job: JobRow;
  lists: Lists | null;
  units: Units;
  isPicked: boolean;
  onPick: () => void;
  onDuplicate: () => void;
  onAgain: () => void;
  onDelete: () => void;
}

const kStates: Partial<Record<JobRow['state'], string>> = {
  empty: 'no artwork yet',
  planning: 'planning',
  failed: 'not planned',
  cancelled: 'stopped',
};

function ticketWords(job: JobRow, lists: Lists | null, units: Units): string {
  const cap = lists?.caps.find((each) => each.name === job.cap)?.title ?? job.cap;
  const mount = lists?.mounts.find((each) => each.name === job.mount)?.title ?? job.mount;
  const size = job.height_mm === null ? '' : `${length(job.height_mm, units)} tall, `;
  return `${size || 'On '}${size && 'on '}${job.caps} × ${cap}, ${mount.charAt(0).toLowerCase() + mount.slice(1)}`;
}

function Standing({ job }: { job: JobRow }) {
  const state = kStates[job.state];
  const isRisk = job.verdict !== null && job.verdict !== 'run' && job.breaks_per_100_caps !== null;
  return (
    <div class="standing">
      {job.verdict && <span class={`stamp${isRisk ? ' risk' : ''}`}>{job.verdict}</span>}
      {state && <span class="note">{state}</span>}
      {job.breaks_per_100_caps !== null && (
        <span class="num">
          <b>{figure(job.breaks_per_100_caps)}</b> per 100 caps
        </span>
      )}
    </div>
  );
}

/** The preview shows the cap above and the stitches below: a window onto each. */
function Pictures({ job, title }: { job: JobRow; title: string }) {
  const address = api.file(job.id, `preview.png?at=${encodeURIComponent(job.changed)}`);
  return (
    <>
      <img class="oncap" src={address} alt={`${title} on the cap`} loading="lazy" />
      <img class="close" src={address} alt="" loading="lazy" />
    </>
  );
}

export function JobLine({ job, lists, units, isPicked, ...on }: Props) {
  const title = job.title || job.artwork || 'New job';
  return (
    <li>
      <label class="pick">
        <input
          type="checkbox"
          checked={isPicked}
          onChange={on.onPick}
          aria-label={`Compare ${title}`}
        />
      </label>
      <Link to={jobPath(job.id)} face="picture">
        {job.has_preview ? (
          <Pictures job={job} title={title} />
        ) : (
          <span class="nopicture">
            {job.state === 'refused' ? 'nothing sewn' : 'no picture yet'}
          </span>
        )}
      </Link>
      <div class="about">
        <h3>
          <Link to={jobPath(job.id)}>{title}</Link>
        </h3>
        <p>{ticketWords(job, lists, units)}</p>
        <p class="small">
          {[job.artwork, when(job.changed, new Date())].filter(Boolean).join(' · ')}
        </p>
        <div class="deeds">
          {job.has_preview && <Link to={floorPath(job.id)}>Floor page</Link>}
          <button type="button" onClick={on.onDuplicate} aria-label={`Duplicate ${title}`}>
            Duplicate
          </button>
          {job.state === 'done' && (
            <button
              type="button"
              onClick={on.onAgain}
              aria-label={`Make again as it was: ${title}`}
            >
              Make again as it was
            </button>
          )}
          <button type="button" onClick={on.onDelete} aria-label={`Delete ${title}`}>
            Delete
          </button>
        </div>
      </div>
      <Standing job={job} />
    </li>
  );
}
