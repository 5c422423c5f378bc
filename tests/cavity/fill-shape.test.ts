import { describe, expect, it } from 'vitest';
import { leastSpreadDifference, spreadDifference } from '../../src/cavity/alike.js';
import type { FillBody } from '../../src/cavity/fill-body.js';
import { fillShape, mirroredShape, turnedShape } from '../../src/cavity/fill-shape.js';

/** An upright prism under z = 0 over a polygon that goes counter-clockwise and sees all of itself from its first corner. */
function prism(plan: readonly (readonly [number, number])[], depth: number): FillBody {
  const n = plan.length;
  const positions = Float64Array.from([
    ...plan.flatMap(([x, y]) => [x, y, 0]),
    ...plan.flatMap(([x, y]) => [x, y, -depth]),
  ]);
  const wall: number[] = [];
  const opening: number[] = [];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    wall.push(i, n + i, n + j, i, n + j, j);
    if (i > 0 && i < n - 1) {
      wall.push(n, n + i + 1, n + i);
      opening.push(0, i, i + 1);
    }
  }
  const triangles = Uint32Array.from([...wall, ...opening]);
  return { positions, triangles, wallTriangles: wall.length / 3, rimLoops: [], noiseMm: 0 };
}

const moved = (plan: readonly (readonly [number, number])[], angle: number, x: number, y: number) =>
  plan.map(([u, v]) => {
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    return [c * u - s * v + x, s * u + c * v + y] as const;
  });

const scalene = [
  [0, 0],
  [20, 1],
  [4, 9],
] as const;

describe('the spread of a fill', () => {
  it('of a box: mean x² is a²/12 (second moment of area of a rectangle, any handbook of statics)', () => {
    const [a, b] = [24, 10];
    const rectangle = [
      [-a / 2, -b / 2],
      [a / 2, -b / 2],
      [a / 2, b / 2],
      [-a / 2, b / 2],
    ] as const;
    const r = Math.sqrt((a * a + b * b) / 12);
    const shape = fillShape(prism(moved(rectangle, 0, 150, 90), 3))!;
    const expected = [r, (a * a - b * b) / 12 / r, 0, 0, 0, 0, 0];
    for (const [k, value] of expected.entries()) expect(shape[k]!).toBeCloseTo(value, 9);
  });

  it('of an even-sided prism: mean w³ is R³/10 (mixed moments of three Dirichlet(1, 1, 1) weights), mean |w|² is R²/4', () => {
    const R = 10;
    const corners = [0, 1, 2].map((k) => {
      const angle = (2 * Math.PI * k) / 3;
      return [R * Math.cos(angle), R * Math.sin(angle)] as const;
    });
    const shape = fillShape(prism(moved(corners, 0, -40, 7), 2))!;
    const r = R / 2;
    for (const [k, value] of [r, 0, 0, 0, 0, R ** 3 / 10 / r ** 2, 0].entries())
      expect(shape[k]!).toBeCloseTo(value, 9);
  });

  it('turns with the piece, at any place', () => {
    const still = fillShape(prism(scalene, 3))!;
    for (const angle of [0.3, Math.PI / 2, Math.PI, 4]) {
      const turned = fillShape(prism(moved(scalene, angle, 180, 60), 3))!;
      for (const [k, value] of turnedShape(still, angle).entries()) expect(turned[k]!).toBeCloseTo(value, 7);
      expect(spreadDifference(still, turned, angle)).toBeLessThan(1e-9);
      expect(leastSpreadDifference(still, turned)).toBeLessThan(0.1);
    }
  });

  it('of a mirror image is the mirrored one, and no turn makes the two alike', () => {
    const still = fillShape(prism(scalene, 3))!;
    const mirrored = fillShape(prism(scalene.map(([x, y]) => [-x, y] as const).toReversed(), 3))!;
    for (const [k, value] of mirroredShape(still).entries()) expect(mirrored[k]!).toBeCloseTo(value, 9);
    // Three standard deviations beyond what still counts as the same shape.
    expect(leastSpreadDifference(still, mirrored)).toBeGreaterThan(18);
  });

  it('of nothing is null', () => {
    expect(fillShape({ ...prism(scalene, 0) })).toBeNull();
  });
});
