import { expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { deepestFirst } from '../../src/cavity/deepest-first.js';

/** The plain way: a sort that compares. */
function plainOrder(depth: Float64Array): number[] {
  return [...depth.keys()].filter((cell) => depth[cell]! > 0).sort((a, b) => depth[b]! - depth[a]! || a - b);
}

test.each([1, 2, 3])('the order of a comparing sort, flat floors and last digits included (seed %i)', (seed) => {
  const random = mulberry32(seed);
  const depth = Float64Array.from({ length: 20_000 }, () => {
    const kind = Math.floor(4 * random());
    if (kind === 0) return 0;
    // Equal depths, depths that differ behind the seventh digit only, and any depth.
    return kind === 1 ? 3 : kind === 2 ? 5 + 1e-9 * random() : 10 * random();
  });
  expect([...deepestFirst(depth)]).toEqual(plainOrder(depth));
});

test('of more places than a key of all digits has room for (seed 4)', () => {
  const random = mulberry32(4);
  // few of them have a depth, so that the plain sort is soon done; small depths have the largest keys
  const depth = new Float64Array(9_000_000);
  for (let i = 0; i < 30_000; i++) depth[Math.floor(depth.length * random())] = (i % 3 === 0 ? 1e-12 : 0.2) * random();
  const places = [...depth.keys()].filter((cell) => depth[cell]! > 0);
  const plain = places.sort((a, b) => depth[b]! - depth[a]! || a - b);
  expect(Buffer.from(deepestFirst(depth).buffer).equals(Buffer.from(Uint32Array.from(plain).buffer))).toBe(true);
});
