// The figures behind a drawing, for those who would rather read them; made only when asked for.
import { useState } from 'preact/hooks';

export interface Table {
  caption: string;
  head: string[];
  rows: (string | number)[][];
}

const kMost = 400;

export function AsTable({ make }: { make: () => Table }) {
  const [isOpen, setOpen] = useState(false);
  const table = isOpen ? make() : null;
  return (
    <details class="astable" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Show as table</summary>
      {table && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keys
        <section class="scroll" tabIndex={0} aria-label={table.caption}>
          <table>
            <caption>{table.caption}</caption>
            <thead>
              <tr>
                {table.head.map((cell) => (
                  <th key={cell} scope="col">
                    {cell}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {table.rows.slice(0, kMost).map((row) => (
                <tr key={row.join('\u0000')}>
                  {row.map((cell, i) => (
                    <td key={table.head[i]}>{cell}</td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
          {table.rows.length > kMost && (
            <p class="small">
              The first {kMost} of {table.rows.length}; stitches.csv has all.
            </p>
          )}
        </section>
      )}
    </details>
  );
}
