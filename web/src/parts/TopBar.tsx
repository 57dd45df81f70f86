// The head of every page: where one is, what can be taken back, and the way out to files and floor.
import type { ComponentChildren } from 'preact';
import { goTo } from '../router';
import type { Units } from '../types';

export function Link({
  to,
  face,
  children,
}: {
  to: string;
  face?: string;
  children: ComponentChildren;
}) {
  return (
    <a
      href={to}
      class={face}
      onClick={(event) => {
        if (event.metaKey || event.ctrlKey || event.shiftKey || event.button !== 0) return;
        event.preventDefault();
        goTo(to);
      }}
    >
      {children}
    </a>
  );
}

export function TopBar({
  about,
  children,
}: {
  about?: ComponentChildren;
  children?: ComponentChildren;
}) {
  return (
    <header class="top">
      <Link to="/" face="mark">
        <i aria-hidden="true" />
        Buckram
      </Link>
      {about && <div class="job">{about}</div>}
      <nav aria-label="Job">{children}</nav>
    </header>
  );
}

const kUnits: { value: Units; words: string; label: string }[] = [
  { value: 'mm', words: 'mm, in', label: 'mm, in: millimetres first' },
  { value: 'inch', words: 'in, mm', label: 'in, mm: inches first' },
];

export function UnitsSwitch({ units, onUnits }: { units: Units; onUnits: (units: Units) => void }) {
  return (
    <RadioRow
      name="Units"
      face="unit"
      choices={kUnits}
      value={units}
      onPick={(value) => onUnits(value as Units)}
    />
  );
}

interface RadioProps {
  name: string;
  face: string;
  lead?: string;
  choices: { value: string; words: string; label?: string }[];
  value: string;
  onPick: (value: string) => void;
}

/** One radio group in a row: arrows choose. */
export function RadioRow({ name, face, lead, choices, value, onPick }: RadioProps) {
  const step = (event: KeyboardEvent) => {
    const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!by) return;
    event.preventDefault();
    const at = choices.findIndex((choice) => choice.value === value);
    const next = (at + by + choices.length) % choices.length;
    const picked = choices[next];
    if (!picked) return;
    onPick(picked.value);
    const group = (event.currentTarget as HTMLElement).querySelectorAll<HTMLElement>(
      '[role="radio"]',
    );
    group[next]?.focus();
  };
  return (
    <div class={face} role="radiogroup" aria-label={name} onKeyDown={step}>
      {lead && <span aria-hidden="true">{lead}</span>}
      {choices.map((choice) => (
        // A button takes Enter and space by itself; the group takes the arrows.
        // biome-ignore lint/a11y/useSemanticElements: a row of words, not of round buttons
        <button
          key={choice.value}
          type="button"
          role="radio"
          aria-checked={choice.value === value}
          aria-label={choice.label}
          tabIndex={choice.value === value ? 0 : -1}
          onClick={() => onPick(choice.value)}
        >
          {choice.words}
        </button>
      ))}
    </div>
  );
}
