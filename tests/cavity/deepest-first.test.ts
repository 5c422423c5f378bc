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
