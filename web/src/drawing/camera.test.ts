import { expect, test } from 'vitest';
import { type Camera, fitted, matrixOf, pan, seenBox, toMm, toPx, within, zoomAt } from './camera';

const box = { x0: -60, y0: 0, x1: 60, y1: 80 };

test('fitted: the whole box is seen, as large as it may be, and upright', () => {
  const c = fitted(box, 960, 800);
  expect(c.scale).toBe(8);
  expect(toPx(c, -60, 0)[0]).toBeCloseTo(0);
  expect(toPx(c, 60, 80)[0]).toBeCloseTo(960);
  expect(toPx(c, 0, 80)[1]).toBeLessThan(toPx(c, 0, 0)[1]); // up is up
});

test('turned by half a turn: left is right, the bill seam is on top', () => {
  const c = fitted(box, 960, 800, true);
  expect(toPx(c, -60, 0)[0]).toBeCloseTo(960);
  expect(toPx(c, 0, 0)[1]).toBeLessThan(toPx(c, 0, 80)[1]);
});

test.each([false, true])(
  'px to mm is the way back, and so is the matrix (turned: %s)',
  (turned) => {
    const c: Camera = { ...fitted(box, 700, 500, turned), scale: 17.3, x: 4.4, y: 31.7 };
    const [a, b, cc, d, e, f] = matrixOf(c);
    for (const [x, y] of [
      [0, 0],
      [-31.2, 66],
      [59, 2.2],
    ] as const) {
      const [px, py] = toPx(c, x, y);
      const [mx, my] = toMm(c, px, py);
      expect(mx).toBeCloseTo(x, 9);
      expect(my).toBeCloseTo(y, 9);
      expect(a * x + cc * y + e).toBeCloseTo(px, 9);
      expect(b * x + d * y + f).toBeCloseTo(py, 9);
    }
  },
);

test.each([false, true])('zoom keeps the place under the pointer (turned: %s)', (turned) => {
  const c = fitted(box, 960, 800, turned);
  const before = toMm(c, 200, 650);
  const after = toMm(zoomAt(c, 200, 650, 3, c.scale), 200, 650);
  expect(after[0]).toBeCloseTo(before[0], 9);
  expect(after[1]).toBeCloseTo(before[1], 9);
  expect(zoomAt(c, 0, 0, 0.1, c.scale).scale).toBe(c.scale); // never smaller than all
});

test.each([false, true])('a drag carries the chart with the pointer (turned: %s)', (turned) => {
  const c = zoomAt(fitted(box, 960, 800, turned), 480, 400, 4, 1);
  const at = toPx(c, 5, 40);
  const moved = toPx(pan(c, 30, -12), 5, 40);
  expect(moved[0] - at[0]).toBeCloseTo(30, 9);
  expect(moved[1] - at[1]).toBeCloseTo(-12, 9);
});

test('the chart is never left: what is seen stays within the bounds', () => {
  const c = within(pan(zoomAt(fitted(box, 960, 800), 480, 400, 4, 1), 9999, -9999), box);
  const seen = seenBox(c);
  expect(seen.x0).toBeCloseTo(-60, 9);
  expect(seen.y0).toBeCloseTo(0, 9);
});
