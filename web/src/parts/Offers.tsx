// What would go instead of what was refused; each a button.
import type { Job, Lists, Offer, Units } from '../types';
import { keyOf } from '../words/changes';
import { duration, figure, length } from '../words/figures';
import { Head } from './Head';

export function offerSet(offer: Offer, settings: Job['settings']): string[] {
  const byWidth = (settings.artwork as { width_mm?: number } | undefined)?.width_mm !== undefined;
  const set = [
    `cap.name=${JSON.stringify(offer.cap)}`,
    `bench.mount=${JSON.stringify(offer.mount)}`,
    `artwork.at_mm=[${offer.at_mm.join(',')}]`,
  ];
  if (!byWidth) set.push(`artwork.height_mm=${offer.height_mm}`);
  const known = new Set(set.map(keyOf));
  return [...set, ...offer.set.filter((each) => !known.has(keyOf(each)))];
}

function titleOf(list: { name: string; title: string }[] | undefined, name: string): string {
  return list?.find((each) => each.name === name)?.title ?? name;
}

interface Props {
  job: Job;
  lists: Lists | null;
  units: Units;
  onTake: (set: string[], words: string) => void;
}

export function Offers({ job, lists, units, onTake }: Props) {
  const offers = job.verdict?.offers ?? [];
  return (
    <section class="a-chg" aria-labelledby="h-offers">
      <Head name="What would go instead" id="h-offers">
        <span class="note end">breaks per 100 caps</span>
      </Head>
      {offers.length === 0 && (
        <p class="small">
          Nothing that was tried goes. Make the design smaller, or choose another cap.
        </p>
      )}
      <ul class="offers">
        {offers.map((offer) => {
          const cap = titleOf(lists?.caps, offer.cap);
          const mount = titleOf(lists?.mounts, offer.mount);
          const size = `${length(offer.height_mm, units)} tall`;
          return (
            <li key={`${offer.cap} ${offer.mount} ${offer.height_mm} ${offer.set.join()}`}>
              <button
                type="button"
                class="offer"
                onClick={() => onTake(offerSet(offer, job.settings), `${size}, ${cap}, ${mount}`)}
              >
                {size}
              </button>
              <div>
                <div class="what">
                  {cap}, {mount.charAt(0).toLowerCase() + mount.slice(1)}
                </div>
                <div class="why">{offer.why}.</div>
              </div>
              <div class="effect">
                <b>{offer.breaks_per_100_caps === null ? '' : figure(offer.breaks_per_100_caps)}</b>
                <small>{offer.time_s === null ? '' : `${duration(offer.time_s)} a cap`}</small>
              </div>
            </li>
          );
        })}
      </ul>
      <p class="small">
        The figure is for the bench as it stands. The button makes the changes named too.
      </p>
    </section>
  );
}
