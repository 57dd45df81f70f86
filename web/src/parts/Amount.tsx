// A number with its unit: arrows step it, Enter takes it; what is out of range is said beside it.
import { useId, useState } from 'preact/hooks';
import type { Units } from '../types';
import { inUnit, length, millimetresTyped, numberTyped, plain, unitName } from '../words/figures';

export interface AmountProps {
  name: string;
  value: number | null;
  /** "mm" is told in inches too and typed in either. */
  unit: string;
  units: Units;
  least?: number | undefined;
  most?: number | undefined;
  step: number;
  /** Where leaving it empty means something: what. */
  emptyMeans?: string;
  onTake: (value: number | null) => void;
}

const shownAs = (value: number | null, isLength: boolean, units: Units) =>
  value === null ? '' : isLength ? inUnit(value, units) : plain(value, 3);

function rangeWords({ least, most, unit, units }: AmountProps): string {
  const one = (value: number) =>
    unit === 'mm' ? length(value, units) : `${plain(value, 2)}${unit ? ` ${unit}` : ''}`;
  if (least !== undefined && most !== undefined) return `${one(least)} to ${one(most)}`;
  if (least !== undefined) return `${one(least)} or more`;
  return most !== undefined ? `up to ${one(most)}` : '';
}

/** null: fine. Otherwise what is wrong and what to do. */
export function complaint(value: number | null, text: string, props: AmountProps): string | null {
  const { least, most, emptyMeans } = props;
  if (text.trim() === '') return emptyMeans ? null : `Type a number, ${rangeWords(props)}.`;
  if (value === null) return `“${text}” is not a number. Type ${rangeWords(props) || 'one'}.`;
  if (most !== undefined && value > most) {
    const tenth = value / 10;
    const meant = tenth <= most && tenth >= (least ?? 0) ? ` Did you mean ${plain(tenth, 2)}?` : '';
    return `${plain(value, 2)} is more than ${plain(most, 2)}.${meant}`;
  }
  if (least !== undefined && value < least)
    return `${plain(value, 2)} is less than ${plain(least, 2)}.`;
  return null;
}

export function Amount(props: AmountProps) {
  const { name, value, unit, units, step, onTake } = props;
  const isLength = unit === 'mm';
  const [text, setText] = useState(shownAs(value, isLength, units));
  const [said, setSaid] = useState<string | null>(null);
  const id = useId();
  const typed = isLength ? millimetresTyped(text, units) : numberTyped(text);
  const stepBy = (n: number) => {
    const from = typed ?? value ?? props.least ?? 0;
    const by = isLength && units === 'inch' ? (step * 25.4) / 25 : step;
    const next = Math.min(
      props.most ?? Infinity,
      Math.max(props.least ?? -Infinity, from + n * by),
    );
    setText(shownAs(Number(next.toFixed(4)), isLength, units));
    setSaid(null);
  };
  const take = () => {
    const wrong = complaint(typed, text, props);
    setSaid(wrong);
    if (!wrong) onTake(typed);
  };
  return (
    <form
      class="amount"
      onSubmit={(event) => {
        event.preventDefault();
        take();
      }}
    >
      <label for={id}>{name}</label>
      <span class="row">
        <button
          type="button"
          class="step"
          aria-label={`less, by ${plain(step, 2)}`}
          onClick={() => stepBy(-1)}
        >
          −
        </button>
        <input
          id={id}
          type="text"
          data-first
          inputMode="decimal"
          autocomplete="off"
          value={text}
          aria-describedby={`${id}-range`}
          aria-invalid={said !== null}
          onInput={(event) => setText(event.currentTarget.value)}
          onKeyDown={(event) => {
            if (event.key !== 'ArrowUp' && event.key !== 'ArrowDown') return;
            event.preventDefault();
            stepBy(event.key === 'ArrowUp' ? 1 : -1);
          }}
        />
        <span class="unit-name">{isLength ? unitName(units) : unit}</span>
        <button
          type="button"
          class="step"
          aria-label={`more, by ${plain(step, 2)}`}
          onClick={() => stepBy(1)}
        >
          +
        </button>
        <button type="submit" class="btn">
          Set
        </button>
      </span>
      <small id={`${id}-range`} class={said ? 'wrong' : ''} role={said ? 'alert' : undefined}>
        {said ?? `${rangeWords(props)}${props.emptyMeans ? `; empty: ${props.emptyMeans}` : ''}`}
      </small>
    </form>
  );
}
