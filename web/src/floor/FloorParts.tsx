// Parts of the floor page: set-up steps to tick off, threads in sewing order, cautions.
import { briefPart } from '../drawing/callouts';
import type { Units, View } from '../types';
import { plain, thousands } from '../words/figures';
import type { FloorFacts, FloorStep, Ticks } from './floorApi';

export function SetUp({
  steps,
  ticks,
  onTick,
}: {
  steps: FloorStep[];
  ticks: Ticks;
  onTick: (id: string, is: boolean) => void;
}) {
  return (
    <ol class="floor-steps">
      {steps.map((step) => (
        <li key={step.id}>
          <label class={ticks[step.id] ? 'is-done' : ''}>
            <input
              type="checkbox"
              checked={ticks[step.id] === true}
              onChange={(event) => onTick(step.id, event.currentTarget.checked)}
            />
            <span>
              <span class="floor-step">
                {`${step.label}: ${step.value}`}
                {step.inches && <small> {step.inches}</small>}
              </span>
              <span class="floor-reason">
                {step.is_change ? `Change. ${sentence(step.reason)}` : sentence(step.reason)}
              </span>
            </span>
          </label>
        </li>
      ))}
    </ol>
  );
}

const sentence = (words: string) => words.replace(/^./, (c) => c.toUpperCase());

export function Threads({ facts, units }: { facts: FloorFacts; units: Units }) {
  const metres = (m: number) => (units === 'mm' ? `${plain(m)} m` : `${plain(m * 1.0936)} yd`);
  return (
    <ol class="floor-threads">
      {facts.threads.map((visit) => (
        <li key={visit.first}>
          <span class="floor-needle">
            <span class="unseen">needle </span>
            {visit.needle}
          </span>
          <svg width="46" height="40" aria-hidden="true">
            <rect x="1" y="1" width="44" height="38" fill={visit.rgb} />
          </svg>
          <span class="floor-thread">
            <b>{visit.number ? `${visit.name} ${visit.number}` : visit.name}</b>
            <span>{visit.sews}</span>
          </span>
          <span class="floor-amount">
            <span>{metres(visit.needle_m)}</span>
            <small>{`${thousands(visit.stitches)} stitches`}</small>
          </span>
        </li>
      ))}
    </ol>
  );
}

export function TakeCare({ cautions }: { cautions: string[] }) {
  return (
    <section class="floor-care" aria-labelledby="h-care">
      <h2 id="h-care">Take care</h2>
      <ul>
        {cautions.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
    </section>
  );
}

/** "Look at the seam, the tip and the letters": the parts where the worst places lie. */
export function lookAt(view: View | null): string {
  const parts = [
    ...new Set((view?.worst ?? []).slice(0, 2).map((w) => `${briefPart(w.part)}, ${w.where}`)),
  ];
  if (!parts.length) return 'Look at it in good light, then run the rest.';
  const lower = (words: string) =>
    /^[A-Z][A-Z]/.test(words) ? words : words.replace(/^./, (c) => c.toLowerCase());
  return `Look at: ${parts.map(lower).join('; ')}. Then run the rest.`;
}
