import fc from 'fast-check';
import { expect, it } from 'vitest';
import { rimOutline } from '../../src/cavity/rim-outline.js';

const circle = (points: number, radius: number): Float64Array =>
  Float64Array.from({ length: 2 * points }, (_, i) => {
    const turn = ((i >> 1) / points) * 2 * Math.PI;
    return radius * (i % 2 === 0 ? Math.cos(turn) : Math.sin(turn));
  });

function area(loop: ArrayLike<number>): number {
  let sum = 0;
  const count = loop.length / 2;
  for (let i = 0; i < count; i++) {
    const j = (i + 1) % count;
    sum += loop[2 * i]! * loop[2 * j + 1]! - loop[2 * j]! * loop[2 * i + 1]!;
  }
  return sum / 2;
}

it('draws a rim of 10,000 points with few, within 0.02 mm and the rounding', () => {
  fc.assert(
    fc.property(fc.double({ min: 2, max: 60, noNaN: true }), (radius) => {
      const [drawn] = rimOutline({ rimLoops: [circle(10_000, radius)] });
      expect(drawn!.length / 2).toBeLessThan(400);
      // A chord within d of its arc loses at most 2 pi R d of the disc; rounding moves a point by at most 0.0071 mm.
      const loss = Math.abs(Math.PI * radius ** 2 - area(drawn!));
      expect(loss).toBeLessThan(2 * Math.PI * radius * (0.02 + 0.0071));
    }),
    { seed: 7, numRuns: 20 },
  );
});

it('keeps the corners of a square and drops what lies on its sides', () => {
  const side = [0, 0, 5, 0, 10, 0, 10, 5, 10, 10, 5, 10, 0, 10, 0, 5];
  const [drawn] = rimOutline({ rimLoops: [Float64Array.from(side)] });
  for (const corner of ['0,0', '10,0', '10,10', '0,10']) {
    expect(drawn!.flatMap((x, i) => (i % 2 === 0 ? [`${x},${drawn![i + 1]}`] : []))).toContain(corner);
  }
  expect(area(drawn!)).toBe(100);
});
