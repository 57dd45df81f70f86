// Every file of a plan, to save.
import { api } from '../api';
import type { Lists } from '../types';

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
export function machineFile(layout: string | null, lists: Lists | null): string[] {
  const found = lists?.layouts.find((each) => each.name === layout);
  return found ? [found.file] : [];
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
          <a href={`${api.file(id, name)}?download`} download={name}>
            <b>{name}</b> <span>{words}</span>
          </a>
        </li>
      ))}
    </ul>
  );
}
