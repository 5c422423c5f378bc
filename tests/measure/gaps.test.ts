import { expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { nearestGaps } from '../../src/measure/gaps.js';

/** Distance of a point from the sides of a loop. */
function pointToLoop(x: number, y: number, loop: Float64Array): number {
  let least = Infinity;
  for (let i = 0; i < loop.length; i += 2) {
    const [ax, ay] = [loop[i]!, loop[i + 1]!];
    const [bx, by] = [loop[(i + 2) % loop.length]!, loop[(i + 3) % loop.length]!];
    const along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2);
    const t = Math.min(1, Math.max(0, along));
    least = Math.min(least, Math.hypot(ax + t * (bx - ax) - x, ay + t * (by - ay) - y));
  }
  return least;
}

/** The plain way: every corner of either against every side of the other. */
function plainGap(a: Float64Array, b: Float64Array): number {
  let least = Infinity;
  for (let i = 0; i < a.length; i += 2) least = Math.min(least, pointToLoop(a[i]!, a[i + 1]!, b));
  for (let i = 0; i < b.length; i += 2) least = Math.min(least, pointToLoop(b[i]!, b[i + 1]!, a));
  return least;
}

test.each([1, 2, 3])('rims of random sizes at random places on a plate: each to its nearest (seed %i)', (seed) => {
  const random = mulberry32(seed);
  const ring = (x: number, y: number, radius: number) =>
    Float64Array.from({ length: 2 * 90 }, (_, i) => {
      const angle = (2 * Math.PI * Math.floor(i / 2)) / 90;
      return i % 2 === 0 ? x + radius * Math.cos(angle) : y + radius * Math.sin(angle);
    });
  // a place in each field of a grid, so that they do not cross
  const rings = Array.from({ length: 24 }, (_, k) => {
    const radius = 2 + 12 * random();
    const [x, y] = [30 * (k % 6) + 15, 30 * Math.floor(k / 6) + 15];
    return ring(x + (14.5 - radius) * (2 * random() - 1), y + (14.5 - radius) * (2 * random() - 1), radius);
  });
  const outline = Float64Array.of(0, 0, 180, 0, 180, 120, 0, 120);
  const [rims, others] = [rings.slice(0, 18), rings.slice(18)];
  const single = (loops: Float64Array[]) => loops.map((loop) => [loop]);
  for (const edge of [outline, null]) {
    const ours = nearestGaps(single(rims), single(others), edge);
    for (const [i, rim] of rims.entries()) {
      const gaps = rings.filter((other) => other !== rim).map((other) => plainGap(rim, other));
      expect(ours[i]).toBeCloseTo(Math.min(...gaps, edge === null ? Infinity : plainGap(rim, edge)), 9);
    }
  }
});

test('a rim alone without an edge has no gap', () => {
  expect(nearestGaps([[Float64Array.of(0, 0, 1, 0, 0, 1)]], [], null)).toEqual([null]);
});
