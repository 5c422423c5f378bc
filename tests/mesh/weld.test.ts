import { describe, expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { Float32Weld, Weld } from '../../src/mesh/weld.js';

/** Welds points three by three; the records have four bytes between them. */
function weldFloat32(weld: Float32Weld, points: readonly (readonly number[])[]): number[] {
  const count = points.length / 3;
  const view = new DataView(new ArrayBuffer(1 + 40 * count));
  for (const [i, point] of points.flat().entries())
    view.setFloat32(1 + 40 * Math.floor(i / 9) + 4 * (i % 9), point, true);
  const into = new Uint32Array(points.length);
  expect(weld.addTriangles(view, 1, 40, count, into, 0, 1e6)).toBe(count);
  return [...into];
}

/** The plain way: a map from the coordinates' text. */
function plainWeld(points: readonly (readonly number[])[]): number[] {
  const seen = new Map<string, number>();
  return points.map((point) => {
    const key = point.map((value) => value + 0).join(' ');
    if (!seen.has(key)) seen.set(key, seen.size);
    return seen.get(key)!;
  });
}

describe.each([1, 20, 4000])('from room for %d vertices', (expected) => {
  test('equals a map of coordinates, points on a grid and scattered ones (seed 11)', () => {
    const uniform = mulberry32(11);
    const points = Array.from({ length: 30_000 }, (_, i) => {
      const onGrid = i % 3 !== 0;
      return [0, 0, 0].map(() => Math.fround(onGrid ? Math.floor(uniform() * 12) / 8 - 0.5 : uniform() * 100 - 50));
    });
    const truth = plainWeld(points);
    const narrow = new Float32Weld(expected);
    const wide = new Weld(expected);
    expect(weldFloat32(narrow, points)).toEqual(truth);
    expect(points.map(([x, y, z]) => wide.add(x!, y!, z!))).toEqual(truth);

    const distinct = points.filter((_, i) => truth.indexOf(truth[i]!) === i);
    expect(wide.count).toBe(distinct.length);
    const expectedPositions = Float64Array.from(distinct.flat(), (value) => value + 0);
    expect(narrow.takePositions()).toEqual(expectedPositions);
    expect(wide.takePositions()).toEqual(expectedPositions);
  });
});

test('numbers that differ in the last bit stay apart; -0 is 0', () => {
  const weld = new Weld();
  expect(weld.add(0.1, 0, 0)).toBe(0);
  expect(weld.add(0.1 + 2 ** -56, 0, 0)).toBe(1);
  expect(weld.add(0.1, -0, 0)).toBe(0);
  expect(weld.add(-0, -0, -0)).toBe(2);
  expect(Object.is(weld.takePositions()[6], 0)).toBe(true);
});

test.each([Number.NaN, Number.NEGATIVE_INFINITY, 1001, -1e30])(
  'a triangle with %d is left out, and all behind it',
  (bad) => {
    const numbers = Float32Array.from({ length: 9 * 7 }, (_, i) => i % 10);
    numbers[9 * 5 + 4] = bad;
    const into = new Uint32Array(21);
    const view = new DataView(numbers.buffer);
    expect(new Float32Weld().addTriangles(view, 0, 36, 7, into, 0, 1000)).toBe(5);
    numbers[9 * 5 + 4] = 1000;
    expect(new Float32Weld().addTriangles(view, 0, 36, 7, into, 0, 1000)).toBe(7);
  },
);
