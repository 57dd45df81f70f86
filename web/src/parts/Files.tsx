// Every file of a plan, to save.
import { api } from '../api';

const kFiles: [string, string][] = [
  ['sheet.pdf', 'Run sheet with 1:1 template, to print'],
  ['stitches.gcode', 'Stitches as G-code, turned as the mount says'],
  ['stitches.csv', 'One line a stitch, with its hazard'],
  ['chart.svg', 'Crown chart, 1 unit = 1 mm'],
  ['preview.png', 'Picture to show the customer'],
  ['plan.json', 'The plan, to check or make again'],
  ['verdict.json', 'Verdict, changes and offers'],
];

/** The machine's own file, where the job has a layout. */
export function machineFile(files: string[] | undefined): string[] {
  const known = new Set(kFiles.map(([name]) => name));
  return (files ?? []).filter((name) => name.startsWith('stitches.') && !known.has(name));
}

export function FileList({ id, machine }: { id: string; machine: string[] }) {
  const all = [
    ...machine.map((name): [string, string] => [name, 'Stitches as your machine reads them']),
    ...kFiles,
  ];
  return (
    <ul class="files">
      {all.map(([name, words]) => (
        <li key={name}>
          <a href={api.file(id, name)} download={name}>
            <b>{name}</b> <span>{words}</span>
          </a>
        </li>
      ))}
    </ul>
  );
}
