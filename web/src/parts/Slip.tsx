// A small sheet under the control that opened it: Esc or a click beside it leaves all as it was.
import type { ComponentChildren } from 'preact';
import { useId, useLayoutEffect, useRef, useState } from 'preact/hooks';

export interface SlipProps {
  /** What the sheet is for, to a screen reader. */
  name: string;
  /** Class of the button, and what stands on it. */
  face: string;
  words: ComponentChildren;
  label?: string;
  describedBy?: string | undefined;
  isDisabled?: boolean;
  children: (close: () => void) => ComponentChildren;
}

const kMargin = 8;

/** Moves the sheet sideways so that it stays within the window. */
function keepWithin(sheet: HTMLElement): void {
  sheet.style.setProperty('left', '0px');
  const box = sheet.getBoundingClientRect();
  const over = box.right - (document.documentElement.clientWidth - kMargin);
  const left = Math.max(kMargin - box.left, over > 0 ? -over : 0);
  sheet.style.setProperty('left', `${Math.round(left)}px`);
}

interface Leaving {
  isOpen: boolean;
  leave: () => void;
  /** By Esc: focus goes back to the button. */
  close: () => void;
  within: { current: HTMLElement | null };
}

function useLeaving({ isOpen, leave, close, within }: Leaving) {
  // At once, not after the next picture: Esc may follow Enter quickly.
  useLayoutEffect(() => {
    if (!isOpen) return;
    const onKey = (event: KeyboardEvent) => {
      if (event.key === 'Escape') close();
    };
    const onDown = (event: Event) => {
      if (!within.current?.contains(event.target as Node)) leave();
    };
    document.addEventListener('keydown', onKey);
    document.addEventListener('pointerdown', onDown);
    document.addEventListener('focusin', onDown);
    return () => {
      document.removeEventListener('keydown', onKey);
      document.removeEventListener('pointerdown', onDown);
      document.removeEventListener('focusin', onDown);
    };
  });
}

export function Slip(props: SlipProps) {
  const [isOpen, setOpen] = useState(false);
  const whole = useRef<HTMLSpanElement>(null);
  const sheet = useRef<HTMLDivElement>(null);
  const button = useRef<HTMLButtonElement>(null);
  const id = useId();
  const close = () => {
    setOpen(false);
    button.current?.focus();
  };
  useLeaving({ isOpen, leave: () => setOpen(false), close, within: whole });
  useLayoutEffect(() => {
    if (!isOpen || !sheet.current) return;
    keepWithin(sheet.current);
    // What the sheet is for comes before what stands first in it, such as a button that steps down.
    const first =
      sheet.current.querySelector<HTMLElement>('[data-first]') ??
      sheet.current.querySelector<HTMLElement>(
        'input:not([tabindex="-1"]), button, a, [tabindex="0"]',
      );
    first?.focus();
    if (first instanceof HTMLInputElement && first.type === 'text') first.select();
  }, [isOpen]);
  return (
    <span class="slip" ref={whole}>
      <button
        ref={button}
        type="button"
        class={props.face}
        aria-haspopup="dialog"
        aria-expanded={isOpen}
        aria-controls={isOpen ? id : undefined}
        aria-label={props.label}
        aria-describedby={props.describedBy}
        disabled={props.isDisabled}
        onClick={() => setOpen(!isOpen)}
      >
        {props.words}
      </button>
      {isOpen && (
        <div class="sheet" ref={sheet} id={id} role="dialog" aria-label={props.name}>
          {props.children(close)}
        </div>
      )}
    </span>
  );
}
