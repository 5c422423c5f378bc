import { BufferAttribute, BufferGeometry, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import { describe, expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { indexWall } from '../../src/measure/index-wall.js';
import { largestBall } from '../../src/measure/largest-ball.js';
import { largestCircle } from '../../src/measure/largest-circle.js';
import { RimIndex } from '../../src/measure/rim-index.js';
import { ball, bodyOf, cone, slab, wasm } from './bodies.js';

const bodies = [
  ['half ball', bodyOf(ball(6, 48), 1)],
  ['ring', bodyOf(wasm.Manifold.difference(slab(12, 12, 3), slab(4, 4, 5).translate([4, 4, 0])))],
] as const;

describe('nearest point of the wall', () => {
  test.each(bodies)('%s: as three-mesh-bvh finds it, 500 points, seed 7', async (_, body) => {
    const wall = await indexWall(body);
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(Float32Array.from(body.positions), 3));
    geometry.setIndex(new BufferAttribute(body.triangles.slice(0, 3 * body.wallTriangles), 1));
    const reference = new MeshBVH(geometry);
    const random = mulberry32(7);
    for (let i = 0; i < 500; i++) {
      const [x, y, z] = [random() * 20 - 8, random() * 20 - 8, random() * 12 - 9];
      const expected = reference.closestPointToPoint(new Vector3(x, y, z))!.distance;
      expect(wall.nearest(x, y, z)).toBeCloseTo(expected, 4);
      expect(Math.hypot(wall.foundX - x, wall.foundY - y, wall.foundZ - z)).toBeCloseTo(expected, 4);
      expect(wall.nearest(x, y, z, expected * 0.999)).toBe(Infinity);
    }
  });
});

describe('winding number', () => {
  test('1 inside, 0 outside, 500 points, seed 3; also straight over vertices and edges', async () => {
    const [, body] = bodies[1];
    const wall = await indexWall(body);
    const random = mulberry32(3);
    const inside = (x: number, y: number, z: number) =>
      Math.abs(x - 6) < 6 && Math.abs(y - 6) < 6 && z > -3 && !(Math.abs(x - 6) < 2 && Math.abs(y - 6) < 2);
    for (let i = 0; i < 500; i++) {
      const [x, y, z] = [random() * 16 - 2, random() * 16 - 2, -4 * random()];
      expect(wall.winding(x, y, z)).toBe(inside(x, y, z) ? 1 : 0);
    }
    const round = await indexWall(bodies[0][1]);
    for (const [x, y] of [
      [0, 0],
      [0, 1],
      [1, 0],
      [2, 2],
    ] as const) {
      expect(round.winding(x, y, -1)).toBe(1);
    }
  });
});

describe('largest ball and circle', () => {
  test.each([
    [10, 8],
    [3, 9],
    [12, 2],
  ])('cone %d deep, radius %d: 2 r d / (r + sqrt(r² + d²)), the facets inside by less than 0.1 %%', async (d, r) => {
    const body = bodyOf(cone(d, r), 0.5);
    const { diameterMm } = largestBall(await indexWall(body));
    const expected = (2 * r * d) / (r + Math.hypot(r, d));
    expect(diameterMm / expected).toBeGreaterThan(0.997);
    expect(diameterMm / expected).toBeLessThan(1.0001);
  });

  test('in a chamber beside a shallow wide slab the largest ball is found in the chamber', async () => {
    const body = bodyOf(wasm.Manifold.union(slab(80, 50, 2), slab(5, 5, 6).translate([70, 40, 0])), 1);
    const { diameterMm, centreMm } = largestBall(await indexWall(body));
    expect(Math.abs(diameterMm / 5 - 1)).toBeLessThan(0.04);
    expect(centreMm[0]).toBeGreaterThan(70);
  });

  test('circle in a rectangle with a hole', () => {
    const outer = Float64Array.from([0, 0, 30, 0, 30, 10, 0, 10]);
    const hole = Float64Array.from([4, 4, 4, 6, 6, 6, 6, 4]);
    expect(largestCircle(RimIndex.ofLoops([outer])).diameterMm).toBeCloseTo(10, 1);
    expect(largestCircle(RimIndex.ofLoops([outer, hole])).centreMm[0]).toBeGreaterThan(8);
  });
});
