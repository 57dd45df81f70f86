// Printing: the page takes a paper's width before the browser lays it out, so that drawings which
// measure themselves are drawn anew at that width and not cut off.
import { options } from 'preact';

const kClass = 'on-paper';

export const isOnPaper = () => document.documentElement.classList.contains(kClass);

/** Heard by drawings: the width has changed now, and there is no next frame to wait for. */
export const kWidthChanged = 'buckram:width';

function setOnPaper(is: boolean): void {
  if (is === isOnPaper()) return;
  document.documentElement.classList.toggle(kClass, is);
  // A browser that prints shows no frame in between: effects run at once.
  if (is) options.requestAnimationFrame = (then) => queueMicrotask(then as () => void);
  else delete options.requestAnimationFrame;
  dispatchEvent(new Event(kWidthChanged));
}

export function followPrinting(): void {
  addEventListener('beforeprint', () => setOnPaper(true));
  addEventListener('afterprint', () => setOnPaper(false));
  matchMedia('print').addEventListener('change', (event) => setOnPaper(event.matches));
}
