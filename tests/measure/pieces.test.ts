import { expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { sharedMemory } from '../../src/base/memory.js';
import type { Threads } from '../../src/base/threads.js';
import { inPieces, type PieceWork, type SharedWork, takePieces } from '../../src/measure/pieces.js';
import { valueAtWeight } from '../../src/measure/weighted-quantile.js';

const squares: PieceWork<Float64Array> = {
  name: 'squares',
  open: (answer) => answer,
  take(answer, piece) {
    answer[piece] = answer[piece]! + piece * piece;
  },
};

/** Two threads, of which one never comes to its share: it is busy with other work. */
function oneBusy(): { threads: Threads; asked: () => number } {
  let asked = 0;
  const threads: Threads = {
    size: 2,
    sharesMemory: true,
    async run(_job, input) {
      if (asked++ === 0) return new Promise(() => {});
      return takePieces(squares, input as SharedWork<Float64Array>);
    },
  };
  return { threads, asked: () => asked };
}

test('every piece is done once, and a busy thread is not waited for', async () => {
  const expected = Float64Array.from({ length: 50 }, (_, i) => i * i);
  const here = new Float64Array(50);
  await inPieces(squares, here, 50, {});
  expect(here).toEqual(expected);
  const shared = new Float64Array(sharedMemory(400));
  const { threads, asked } = oneBusy();
  await inPieces(squares, shared, 50, { threads });
  expect(Array.from(shared)).toEqual(Array.from(expected));
  expect(asked()).toBe(2);
});

test('no piece: nothing to wait for; one that fails fails all', async () => {
  const { threads } = oneBusy();
  await inPieces(squares, new Float64Array(0), 0, { threads });
  const failing = { ...threads, run: () => Promise.reject(new Error('died')) };
  await expect(inPieces(squares, new Float64Array(9), 9, { threads: failing })).rejects.toThrow('died');
  const signal = AbortSignal.abort(new Error('enough'));
  await expect(inPieces(squares, new Float64Array(9), 9, { signal })).rejects.toThrow('enough');
});

test('value at a weight: as sorting finds it, 200 random lists with equal values, seed 5', () => {
  const random = mulberry32(5);
  for (let round = 0; round < 200; round++) {
    const count = 1 + Math.floor(40 * random());
    const values = Float64Array.from({ length: count }, () => Math.floor(12 * random()));
    // Weights that add up without rounding.
    const weights = Float64Array.from({ length: count }, () => Math.floor(5 * random()));
    const weight = Math.floor(weights.reduce((sum, w) => sum + w, 0) * random() * 1.2);
    const order = Array.from(values.keys()).sort((a, b) => values[a]! - values[b]!);
    let sum = 0;
    const at = order.find((i) => (sum += weights[i]!) >= weight);
    const expected = at === undefined ? null : values[at];
    expect(valueAtWeight(values, weights, weight)).toBe(expected);
  }
});
