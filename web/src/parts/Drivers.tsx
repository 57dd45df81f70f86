// What the breaks come from: black bars, which overlap.
import type { Verdict } from '../types';
import { percent } from '../words/figures';
import { driverMeans, driverName } from '../words/verdict';
import { Head } from './Head';

export function driversOf(verdict: Verdict | null): [string, number][] {
  return Object.entries(verdict?.drivers ?? {})
    .filter(([, share]) => share >= 0.005)
    .sort((a, b) => b[1] - a[1]);
}

export function Drivers({ verdict, hides }: { verdict: Verdict | null; hides: boolean }) {
  const drivers = driversOf(verdict);
  if (hides || drivers.length === 0) return null;
  const most = drivers[0]?.[1] ?? 1;
  return (
    <section class="a-drv" aria-labelledby="h-drivers">
      <Head name="What drives it" id="h-drivers" />
      <dl class="drivers">
        {drivers.map(([key, share]) => (
          <div key={key}>
            <dt title={driverMeans(key)}>{driverName(key)}</dt>
            <dd>
              <span class="track" aria-hidden="true">
                <i style={{ width: `${(100 * share) / most}%` }} />
              </span>
              <span class="num">{percent(share)}</span>
            </dd>
          </div>
        ))}
      </dl>
      <p class="small">Share lost when the cause is taken away. They overlap.</p>
    </section>
  );
}
