/** The plane of the land where a share of all triangles holds none of it. */
import { expect, test } from 'vitest';
import { fitLand } from '../../src/plate/land-fit.js';

const side = 260;

/** A dense ramp of 30 x 30 mm in a land of eight large triangles, at z = 0, which stand at odd places of the list. */
function rampInLand() {
  const positions: number[] = [];
  const dense: number[][] = [];
  for (let i = 0; i < side * side; i++) {
    const [x, y] = [((i % side) * 30) / (side - 1), (Math.floor(i / side) * 30) / (side - 1)];
    positions.push(x, y, -x / 10);
  }
  for (let row = 0; row + 1 < side; row++) {
    for (let i = row * side; i + 1 < (row + 1) * side; i++)
      dense.push([i, i + 1, i + side + 1], [i, i + side + 1, i + side]);
  }
  const large: number[][] = [];
  const corner = (x: number, y: number) => positions.push(x, y, 0) / 3 - 1;
  for (const [x0, y0, x1, y1] of [
    [-85, -55, 115, 0],
    [-85, 30, 115, 85],
    [-85, 0, 0, 30],
    [30, 0, 115, 30],
  ] as const) {
    const [a, b, c, d] = [corner(x0, y0), corner(x1, y0), corner(x1, y1), corner(x0, y1)];
    large.push([a, b, c], [a, c, d]);
  }
  const order = dense.flatMap((triangle, i) => (i < large.length ? [triangle, large[i]!] : [triangle]));
  return {
    mesh: { positions: Float64Array.from(positions), triangles: Uint32Array.from(order.flat()) },
    large: Uint32Array.from(large, (_, i) => 2 * i + 1),
  };
}

test('large triangles are always looked at', () => {
  const { mesh, large } = rampInLand();
  // more than 120,000: a share of every second one
  expect(mesh.triangles.length / 3).toBeGreaterThan(120_000);
  const land = fitLand(mesh, { slopeX: 0, slopeY: 0, height: 0 }, 0.5, 0.002, undefined, large)!;
  expect(land.slopeX).toBeCloseTo(0, 6);
  expect(land.height).toBeCloseTo(0, 3);
  // all of the land, 200 x 140 mm less the ramp, and a strip of the ramp's upper end
  expect(land.area).toBeGreaterThan(200 * 140 - 900 - 1);
  expect(land.area).toBeLessThan(200 * 140 - 900 + 10);
});
