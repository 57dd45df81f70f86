import { describe, expect, it } from 'vitest';
import { comparePath, jobPath, routeOf } from './router';

describe('addresses', () => {
  it.each([
    ['/', { page: 'start' }],
    ['/job/k7', { page: 'job', id: 'k7' }],
    ['/floor/k7', { page: 'floor', id: 'k7' }],
    ['/compare/a/b', { page: 'compare', a: 'a', b: 'b' }],
    ['/job', { page: 'unknown' }],
    ['/job/a/b', { page: 'unknown' }],
    ['/compare/a', { page: 'unknown' }],
    ['/else', { page: 'unknown' }],
  ])('%s', (path, route) => {
    expect(routeOf(path)).toEqual(route);
  });

  it('leads back to what made it', () => {
    expect(routeOf(jobPath('a b/ü'))).toEqual({ page: 'job', id: 'a b/ü' });
    expect(routeOf(comparePath('x', 'y'))).toEqual({ page: 'compare', a: 'x', b: 'y' });
  });
});
