/** The rim of a patch from the strip of triangles that make it, against the rim of the whole patch. */
import { describe, expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { cutPatch, cutRimStrip } from '../../src/cavity/patch.js';
import { rimOfPatch } from '../../src/cavity/rim-of-patch.js';

const side = 24;

/** A sheet of hills and hollows, some of its heights exactly 0, its vertices numbered at random, with some triangles gone. */
function sheet(seed: number) {
  const random = mulberry32(seed);
  const number = Array.from({ length: side * side }, (_, v) => v);
  for (let i = number.length - 1; i > 0; i--) {
    const j = Math.floor((i + 1) * random());
    [number[i], number[j]] = [number[j]!, number[i]!];
  }
  const positions = new Float64Array(3 * side * side);
  const waves = Array.from({ length: 4 }, () => [random() - 0.5, random() - 0.5, 6 * random()] as const);
  for (let i = 0; i < side * side; i++) {
    const [x, y] = [(i % side) + 0.3 * random(), Math.floor(i / side) + 0.3 * random()];
    const z = waves.reduce((sum, [kx, ky, phase]) => sum + Math.sin(kx * x + ky * y + phase), 0);
    positions.set([x, y, Math.abs(z) < 0.15 ? 0 : z], 3 * number[i]!);
  }
  const triangles: number[] = [];
  for (let row = 0; row + 1 < side; row++) {
    for (let column = 0; column + 1 < side; column++) {
      const i = row * side + column;
      const [a, b, c, d] = [i, i + 1, i + side + 1, i + side].map((v) => number[v]!) as [
        number,
        number,
        number,
        number,
      ];
      if (random() > 0.02) triangles.push(a, b, c);
      if (random() > 0.02) triangles.push(a, c, d);
    }
  }
  return { positions, triangles: Uint32Array.from(triangles) };
}

describe.each([1, 2, 3, 4, 5, 6])('seed %i', (seed) => {
  const mesh = sheet(seed);
  const z = Float64Array.from({ length: mesh.positions.length / 3 }, (_, v) => mesh.positions[3 * v + 2]!);
  const lowest = (t: number) => Math.min(...[0, 1, 2].map((k) => z[mesh.triangles[3 * t + k]!]!));
  const under = [...Array(mesh.triangles.length / 3).keys()].filter((t) => lowest(t) < 0);

  // All that lies under zero, and halves of it, which end under zero where two hollows meet at a saddle.
  test.each(['all', 'left of a line', 'every second row of triangles'])('the same loops to the digit: %s', (which) => {
    const own = under.filter((t) => {
      if (which === 'left of a line') return mesh.positions[3 * mesh.triangles[3 * t]!]! < side / 2;
      return which === 'all' || Math.floor(t / 40) % 2 === 0;
    });
    const patch = cutPatch(mesh, z, Uint32Array.from(own));
    const strip = cutRimStrip(mesh, z, Uint32Array.from(own), patch.centre);
    const rim = rimOfPatch(patch);
    expect(rim.length).toBeGreaterThan(0);
    expect(strip.triangles.length).toBeLessThanOrEqual(patch.triangles.length);
    expect(rimOfPatch(strip)).toEqual(rim);
    // What it notes between uses is forgotten: the next patch is not disturbed.
    expect(rimOfPatch(cutRimStrip(mesh, z, Uint32Array.from(own), patch.centre))).toEqual(rim);
  });
});

test('of a deep bowl the strip is a small part', () => {
  const n = 60;
  const positions = new Float64Array(3 * n * n);
  for (let i = 0; i < n * n; i++) {
    const [x, y] = [i % n, Math.floor(i / n)];
    positions.set([x, y, Math.min(2, Math.hypot(x - n / 2, y - n / 2) - 25)], 3 * i);
  }
  const triangles: number[] = [];
  for (let row = 0; row + 1 < n; row++) {
    for (let i = row * n; i + 1 < (row + 1) * n; i++) triangles.push(i, i + 1, i + n + 1, i, i + n + 1, i + n);
  }
  const mesh = { positions, triangles: Uint32Array.from(triangles) };
  const z = Float64Array.from({ length: n * n }, (_, v) => positions[3 * v + 2]!);
  const own = Uint32Array.from([...Array(triangles.length / 3).keys()]).filter((t) =>
    [0, 1, 2].some((k) => z[mesh.triangles[3 * t + k]!]! < 0),
  );
  const patch = cutPatch(mesh, z, own);
  const strip = cutRimStrip(mesh, z, own, patch.centre);
  expect(strip.triangles.length).toBeLessThan(0.3 * patch.triangles.length);
  expect(rimOfPatch(strip)).toEqual(rimOfPatch(patch));
});
