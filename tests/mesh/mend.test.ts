import { describe, expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { plateMould, plateScan } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { shuffled } from '../../fixtures/make/transform.js';
import { holeModel } from '../../src/mesh/hole-model.js';
import { mendMesh } from '../../src/mesh/mend.js';
import { planeMesh } from '../../src/mesh/plane-mesh.js';

describe('a sound mesh is left alone', () => {
  const plan = analyticPlate({ meshMm: 2 });

  it.each([
    ['a mould', plateMould(plan).mesh],
    ['an open scan', plateScan(plan).mesh],
    ['shuffled', shuffled(plateScan(plan).mesh, mulberry32(2))],
  ])('%s: the very same object, no repair', (_, mesh) => {
    const mended = mendMesh(mesh, 1e-9);
    expect(mended.mesh).toBe(mesh);
    expect(mended.repairs).toEqual([]);
    expect(mended.patches).toEqual([]);
  });
});

it('a body given twice is dropped, also where a collapsed triangle names corners of both', () => {
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [k & 1, (k >> 1) & 1, k >> 2]);
  const faces = [
    0, 2, 1, 1, 2, 3, 4, 5, 6, 5, 7, 6, 0, 1, 4, 1, 5, 4, 2, 6, 3, 3, 6, 7, 0, 4, 2, 2, 4, 6, 1, 3, 5, 3, 7, 5,
  ];
  const again = corners.map(([x, y, z]) => [x! + 1e-6, y!, z!]);
  const positions = Float64Array.from([...corners, ...again].flat(), (value) => 10 * value);
  const both = [...faces, ...faces.map((v) => v + 8)];
  for (const triangles of [both, [...both, 0, 8, 8]]) {
    const { mesh, repairs } = mendMesh({ positions, triangles: Uint32Array.from(triangles) }, 1e-6);
    expect(mesh.triangles.length / 3).toBe(12);
    expect(repairs.map(({ what }) => what)).toContain('shells given twice, the second dropped');
  }
});

/** A ring of points round a hole of radius 1, and places inside it. */
function ring(height: (u: number, v: number) => number) {
  const uv: number[] = [];
  for (let r = 1; r < 2; r += 0.2) for (let i = 0; i < 40; i++) uv.push(r * Math.cos(i / 6.3), r * Math.sin(i / 6.3));
  const inside: number[] = [];
  for (let u = -0.9; u <= 0.9; u += 0.15)
    for (let v = -0.9; v <= 0.9; v += 0.15) if (u * u + v * v < 0.8) inside.push(u, v);
  const at = (places: readonly number[]) =>
    Float64Array.from({ length: places.length / 2 }, (_, i) => height(places[2 * i]!, places[2 * i + 1]!));
  const points = { uv: Float64Array.from(uv), heights: at(uv), weights: new Float64Array(uv.length / 2).fill(1) };
  return { model: holeModel(points, 1, Float64Array.from(inside)), truth: at(inside) };
}

describe('what was in a hole', () => {
  it('a polynomial of degree 2 exactly', () => {
    const { model, truth } = ring((u, v) => 0.3 + u - 0.2 * v + 0.1 * u * u - 0.4 * u * v);
    for (const [i, height] of model.heights.entries()) expect(height).toBeCloseTo(truth[i]!, 9);
    expect(model.sigma).toBeLessThan(1e-6);
  });

  it.each([0.1, 1.3, 2.9])('a rim: level on one side, a slope of 1 on the other, direction %f', (angle) => {
    const { model, truth } = ring((u, v) => -Math.max(0, u * Math.cos(angle) + v * Math.sin(angle) - 0.23));
    const miss = model.heights.reduce((sum, height, i) => sum + height - truth[i]!, 0) / truth.length;
    // a flat lid over the same ring is off by about 0.1
    expect(Math.abs(miss)).toBeLessThan(0.01);
    expect(Math.abs(miss)).toBeLessThan(2 * model.sigma + 1e-9);
  });
});

describe('triangles over a polygon and points inside', () => {
  it.each([1, 2, 3])('cover it once, seed %i', (seed) => {
    const uniform = mulberry32(seed);
    const corners = 60;
    const loop = new Float64Array(2 * corners);
    for (let i = 0; i < corners; i++) {
      const radius = 1 + 0.2 * uniform();
      loop.set([radius * Math.cos((2 * Math.PI * i) / corners), radius * Math.sin((2 * Math.PI * i) / corners)], 2 * i);
    }
    const inside = Float64Array.from({ length: 200 }, () => 1.2 * uniform() - 0.6);
    const triangles = planeMesh(loop, inside)!;
    expect(triangles.length / 3).toBe(corners + 2 * 100 - 2);
    const uv = [...loop, ...inside];
    let area = 0;
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [2 * triangles[t]!, 2 * triangles[t + 1]!, 2 * triangles[t + 2]!];
      const own = (uv[b]! - uv[a]!) * (uv[c + 1]! - uv[a + 1]!) - (uv[c]! - uv[a]!) * (uv[b + 1]! - uv[a + 1]!);
      expect(own).toBeGreaterThan(-1e-12);
      area += own / 2;
    }
    let shoelace = 0;
    for (let i = 0; i < corners; i++) {
      const j = (i + 1) % corners;
      shoelace += (loop[2 * i]! * loop[2 * j + 1]! - loop[2 * j]! * loop[2 * i + 1]!) / 2;
    }
    expect(area).toBeCloseTo(shoelace, 9);
  });

  it('a polygon that crosses itself has none', () => {
    expect(planeMesh(Float64Array.of(0, 0, 2, 2, 2, 0, 0, 2), new Float64Array())).toBeNull();
  });

  it('corners in a straight line are all used', () => {
    const square = Float64Array.of(-1, -1, 0, -1, 1, -1, 1, 0, 1, 1, 0, 1, -1, 1, -1, 0);
    expect(planeMesh(square, new Float64Array())!.length / 3).toBe(6);
  });
});
