import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fits, type Limits, type Load, packItems } from '../../src/fill/pack.js';

const limits: Limits = { grams: 10, minutes: 10 };

function loadOf(items: readonly Load[], batch: readonly number[]): Load {
  return {
    grams: batch.reduce((sum, i) => sum + items[i]!.grams, 0),
    minutes: batch.reduce((sum, i) => sum + items[i]!.minutes, 0),
  };
}

/** The smallest number of batches by trying every assignment. */
function smallest(items: readonly Load[]): number {
  const assign = (index: number, batches: number[][]): number => {
    if (index === items.length) return batches.length;
    let best = Number.POSITIVE_INFINITY;
    for (const batch of [...batches.keys(), batches.length]) {
      const next = batches.map((held) => [...held]);
      (next[batch] ??= []).push(index);
      if (fits(loadOf(items, next[batch]), limits)) best = Math.min(best, assign(index + 1, next));
    }
    return best;
  };
  return assign(0, []);
}

const item = fc.record({ grams: fc.integer({ min: 0, max: 10 }), minutes: fc.integer({ min: 0, max: 10 }) });

describe('packing fills into batches', () => {
  it('needs no more batches than the best of all assignments, and breaks no limit', () => {
    fc.assert(
      fc.property(fc.array(item, { minLength: 1, maxLength: 7 }), (items) => {
        const packed = packItems(items, limits);
        expect(packed.flat().toSorted((a, b) => a - b)).toEqual(items.map((_, i) => i));
        for (const batch of packed) expect(fits(loadOf(items, batch), limits)).toBe(true);
        expect(packed.length).toBe(smallest(items));
      }),
      { seed: 6, numRuns: 300 },
    );
  });

  it('makes the batches of equal fills equal, to one fill', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 200 }), fc.integer({ min: 1, max: 10 }), (count, grams) => {
        const packed = packItems(
          Array.from({ length: count }, () => ({ grams, minutes: 1 })),
          limits,
        );
        const sizes = packed.map((batch) => batch.length);
        expect(packed.length).toBe(Math.ceil(count / Math.floor(10 / grams)));
        expect(Math.max(...sizes) - Math.min(...sizes)).toBeLessThanOrEqual(1);
      }),
      { seed: 7, numRuns: 60 },
    );
  });
});
