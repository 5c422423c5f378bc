import { expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { flatness } from '../../src/plate/flatness.js';

/**
 * The two nearest parallel planes touch a face and a corner, or two edges, of the points' hull: so the best tilt is that of
 * a triangle of three points, or of a plane along two pairs of them. All are tried.
 */
function byAllTilts(x: Float64Array, y: Float64Array, z: Float64Array): number {
  const point = (i: number) => [x[i]!, y[i]!, z[i]!] as const;
  const pairs = [...x.keys()].flatMap((i) =>
    [...x.keys()].filter((j) => j > i).map((j) => [point(i), point(j)] as const),
  );
  let best = Infinity;
  for (const [k, [a, b]] of pairs.entries()) {
    for (const [c, d] of pairs.slice(k + 1)) {
      const [ux, uy, uz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
      const [vx, vy, vz] = [d[0] - c[0], d[1] - c[1], d[2] - c[2]];
      const det = ux * vy - uy * vx;
      if (Math.abs(det) < 1e-9) continue;
      const [tiltX, tiltY] = [(uz * vy - uy * vz) / det, (ux * vz - uz * vx) / det];
      const rest = z.map((height, i) => height - tiltX * x[i]! - tiltY * y[i]!);
      best = Math.min(best, Math.max(...rest) - Math.min(...rest));
    }
  }
  return best;
}

test.each(Array.from({ length: 12 }, (_, k) => k + 1))(
  'the least distance of two planes, by all tilts (seed %d)',
  (seed) => {
    const random = mulberry32(seed);
    const draw = (size: number) => Float64Array.from({ length: 14 }, () => size * (random() - 0.5));
    const [x, y, z] = [draw(180), draw(140), draw(0.4)];
    const exact = byAllTilts(x, y, z);
    expect(Math.abs(flatness(x, y, z) - exact)).toBeLessThan(2e-4 * exact);
  },
);
