import { expect, test } from 'vitest';
import { inBatches } from '../../src/base/batches.js';

test.each([
  [0, 1],
  [1, 1],
  [2999, 3],
  [9001, 1],
  [9001, 3],
  [100_000, 21],
])('%d numbers, every %d: just those of one loop, in its order', (count, step) => {
  const seen: number[] = [];
  inBatches(
    count,
    (from, to) => {
      for (let i = from; i < to; i += step) seen.push(i);
    },
    step,
  );
  const plain: number[] = [];
  for (let i = 0; i < count; i += step) plain.push(i);
  expect(seen).toEqual(plain);
});
