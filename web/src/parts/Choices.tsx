// A list to choose one from: arrows walk it, a letter jumps, Enter takes.
import { useEffect, useId, useRef, useState } from 'preact/hooks';

export interface Choice {
  value: string;
  words: string;
  note?: string | undefined;
}

interface Props {
  name: string;
  choices: Choice[];
  value: string;
  onPick: (value: string) => void;
}

function moved(at: number, key: string, choices: Choice[]): number {
  const last = choices.length - 1;
  if (key === 'ArrowDown') return Math.min(at + 1, last);
  if (key === 'ArrowUp') return Math.max(at - 1, 0);
  if (key === 'Home') return 0;
  if (key === 'End') return last;
  if (key.length !== 1) return at;
  const starts = (i: number) => choices[i]?.words.toLowerCase().startsWith(key.toLowerCase());
  for (let step = 1; step <= choices.length; step++) {
    const i = (at + step) % choices.length;
    if (starts(i)) return i;
  }
  return at;
}

export function Choices({ name, choices, value, onPick }: Props) {
  const start = choices.findIndex((choice) => choice.value === value);
  const [at, setAt] = useState(Math.max(0, start));
  const list = useRef<HTMLDivElement>(null);
  const id = useId();
  useEffect(() => {
    list.current?.children[at]?.scrollIntoView?.({ block: 'nearest' });
  }, [at]);
  return (
    <div
      class="choices"
      ref={list}
      role="listbox"
      aria-label={name}
      tabIndex={0}
      data-first
      aria-activedescendant={`${id}-${at}`}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') {
          event.preventDefault();
          const picked = choices[at];
          if (picked) onPick(picked.value);
          return;
        }
        const next = moved(at, event.key, choices);
        if (next === at) return;
        event.preventDefault();
        setAt(next);
      }}
    >
      {choices.map((choice, i) => (
        // The list itself takes the keys.
        // biome-ignore lint/a11y/useKeyWithClickEvents: the list takes the keys for its options
        <div
          key={choice.value}
          id={`${id}-${i}`}
          role="option"
          tabIndex={-1}
          aria-selected={choice.value === value}
          class={i === at ? 'at' : ''}
          onPointerMove={() => setAt(i)}
          onClick={() => onPick(choice.value)}
        >
          <span>{choice.words}</span>
          {choice.note && <small>{choice.note}</small>}
        </div>
      ))}
    </div>
  );
}
