// The width an element has, followed as it changes.
import type { RefObject } from 'preact';
import { useLayoutEffect, useState } from 'preact/hooks';

export function useWidth(ref: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    const read = () => setWidth(Math.floor(element.clientWidth));
    read();
    if (typeof ResizeObserver === 'undefined') return;
    const observer = new ResizeObserver(read);
    observer.observe(element);
    return () => observer.disconnect();
  }, [ref]);
  return width;
}

/** Device px a px, at most 2: more is not seen in threads of 0.4 mm. */
export const density = () => Math.min(2, Math.max(1, window.devicePixelRatio || 1));

export const wantsStill = () =>
  typeof matchMedia === 'function' && matchMedia('(prefers-reduced-motion: reduce)').matches;
