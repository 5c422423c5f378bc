import { expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { Weld } from '../../src/mesh/weld.js';

/** The plain way: a map from the coordinates' text. */
function plainWeld(points: readonly (readonly number[])[]): number[] {
  const seen = new Map<string, number>();
  return points.map((point) => {
    const key = point.map((value) => value + 0).join(' ');
    if (!seen.has(key)) seen.set(key, seen.size);
    return seen.get(key)!;
  });
}

test.each([1, 20, 4000])('from room for %d vertices equals a map of coordinates (seed 11)', (expected) => {
  const uniform = mulberry32(11);
  const points = Array.from({ length: 30_000 }, (_, i) => {
    const onGrid = i % 3 !== 0;
    return [0, 0, 0].map(() => (onGrid ? Math.floor(uniform() * 12) / 8 - 0.5 : uniform() * 100 - 50));
  });
  const truth = plainWeld(points);
  const weld = new Weld(expected);
  expect(points.map(([x, y, z]) => weld.add(x!, y!, z!))).toEqual(truth);
  const distinct = points.filter((_, i) => truth.indexOf(truth[i]!) === i);
  expect(weld.count).toBe(distinct.length);
  expect(weld.takePositions()).toEqual(Float64Array.from(distinct.flat(), (value) => value + 0));
});

test('numbers that differ in the last bit stay apart; -0 is 0', () => {
  const weld = new Weld();
  expect(weld.add(0.1, 0, 0)).toBe(0);
  expect(weld.add(0.1 + 2 ** -56, 0, 0)).toBe(1);
  expect(weld.add(0.1, -0, 0)).toBe(0);
  expect(weld.add(-0, -0, -0)).toBe(2);
  expect(Object.is(weld.takePositions()[6], 0)).toBe(true);
});
