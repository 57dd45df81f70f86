// The width an element has, followed as it changes.
import type { RefObject } from 'preact';
import { useLayoutEffect, useState } from 'preact/hooks';
import { isOnPaper, kWidthChanged } from '../state/on_paper';

export function useWidth(ref: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    const read = () => setWidth(Math.floor(element.clientWidth));
    read();
    addEventListener(kWidthChanged, read);
    const observer = typeof ResizeObserver === 'undefined' ? null : new ResizeObserver(read);
    observer?.observe(element);
    return () => {
      removeEventListener(kWidthChanged, read);
      observer?.disconnect();
    };
  }, [ref]);
  return width;
}

/** Device px a px, at most 2: more is not seen in threads of 0.4 mm. Paper shows 3. */
export const density = () =>
  isOnPaper() ? 3 : Math.min(2, Math.max(1, window.devicePixelRatio || 1));

export const wantsStill = () =>
  typeof matchMedia === 'function' && matchMedia('(prefers-reduced-motion: reduce)').matches;
