// The address says which page is shown.
import { useEffect, useState } from 'preact/hooks';

export type Route =
  | { page: 'start' }
  | { page: 'job'; id: string }
  | { page: 'floor'; id: string }
  | { page: 'compare'; a: string; b: string }
  | { page: 'unknown' };

export function routeOf(path: string): Route {
  const parts = path.split('/').filter(Boolean).map(decodeURIComponent);
  const [first, second, third, ...rest] = parts;
  if (!first) return { page: 'start' };
  if (rest.length > 0) return { page: 'unknown' };
  if (first === 'job' && second && !third) return { page: 'job', id: second };
  if (first === 'floor' && second && !third) return { page: 'floor', id: second };
  if (first === 'compare' && second && third) return { page: 'compare', a: second, b: third };
  return { page: 'unknown' };
}

export const jobPath = (id: string) => `/job/${encodeURIComponent(id)}`;
export const floorPath = (id: string) => `/floor/${encodeURIComponent(id)}`;
export const comparePath = (a: string, b: string) =>
  `/compare/${encodeURIComponent(a)}/${encodeURIComponent(b)}`;

const kMoved = 'buckram:moved';

export function goTo(path: string): void {
  history.pushState(null, '', path);
  dispatchEvent(new Event(kMoved));
  scrollTo(0, 0);
  // What was pressed is gone with its page: reading starts at the new one's name.
  requestAnimationFrame(() => {
    const name = document.querySelector<HTMLElement>('h1');
    name?.setAttribute('tabindex', '-1');
    name?.focus({ preventScroll: true });
  });
}

export function useRoute(): Route {
  const [path, setPath] = useState(location.pathname);
  useEffect(() => {
    const follow = () => setPath(location.pathname);
    addEventListener('popstate', follow);
    addEventListener(kMoved, follow);
    return () => {
      removeEventListener('popstate', follow);
      removeEventListener(kMoved, follow);
    };
  }, []);
  return routeOf(path);
}
