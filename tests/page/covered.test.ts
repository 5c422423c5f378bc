import { expect, it } from 'vitest';
import { plateMould } from '../../fixtures/make/plate.js';
import { coveredLast } from '../../src/page/picture/covered.js';

const { mesh } = plateMould({
  lengthMm: 60,
  widthMm: 40,
  blockMm: 12,
  meshMm: 1.5,
  cavities: [
    { name: 'bowl', shape: { kind: 'cap', radius: 10, depth: 4 }, x: 20, y: 20 },
    { name: 'key', shape: { kind: 'cap', radius: 4, depth: 3 }, x: 45, y: 20 },
  ],
});
const keyOf = (triangles: ArrayLike<number>, t: number): string =>
  [triangles[t], triangles[t + 1], triangles[t + 2]].join(' ');
const corners = (t: number, from: Uint32Array) => [0, 1, 2].map((k) => 3 * from[t + k]!);

/** The wall of the bowl alone: what lies under the land within its circle and looks up. */
const wall = Uint32Array.from(
  Array.from({ length: mesh.triangles.length / 3 }, (_, i) => 3 * i).flatMap((t) => {
    const inBowl = corners(t, mesh.triangles).every((v) => {
      const [x, y, z] = [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
      return Math.hypot(x - 20, y - 20) < 10.01 && z > -4.01;
    });
    return inBowl ? [...mesh.triangles.subarray(t, t + 3)] : [];
  }),
);

it('puts the wall under a body last, and keeps every triangle with its sense', () => {
  const body = { positions: mesh.positions, triangles: wall, wallIndices: wall.length };
  const { triangles, openIndices } = coveredLast(mesh.positions, mesh.triangles, [body]);
  const all = (list: Uint32Array) => Array.from({ length: list.length / 3 }, (_, i) => keyOf(list, 3 * i)).sort();
  expect(all(triangles)).toEqual(all(mesh.triangles));
  expect(openIndices).toBeLessThan(mesh.triangles.length);
  const walls = new Set(all(wall));
  for (let t = openIndices; t < triangles.length; t += 3) expect(walls.has(keyOf(triangles, t))).toBe(true);
  // Only what comes near the rim stays with the land: nothing of the bowl below 1 mm does.
  for (let t = 0; t < openIndices; t += 3) {
    const deep = corners(t, triangles).every((v) => mesh.positions[v + 2]! < -1 && mesh.positions[v + 2]! > -4.01);
    expect(deep && walls.has(keyOf(triangles, t))).toBe(false);
  }
});

it('leaves a plate without bodies as it is', () => {
  const { triangles, openIndices } = coveredLast(mesh.positions, mesh.triangles, []);
  expect(openIndices).toBe(mesh.triangles.length);
  expect(triangles).toEqual(mesh.triangles);
});
