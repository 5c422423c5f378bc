import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fits, type Limits, type Load, packInOrder, packItems } from '../../src/fill/pack.js';

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

  it('in their order: as few as that allows, and the fullest as empty as any cut of the row makes it', () => {
    fc.assert(
      fc.property(fc.array(item, { minLength: 1, maxLength: 7 }), (items) => {
        const packed = packInOrder(items, limits);
        expect(packed.flat()).toEqual(items.map((_, i) => i));
        const fullest = (groups: readonly (readonly number[])[]) =>
          Math.max(...groups.map((group) => Math.max(loadOf(items, group).grams, loadOf(items, group).minutes)));
        // Every way to cut the row: each bit of the mask is a cut before an item.
        let best = { count: Number.POSITIVE_INFINITY, fullest: Number.POSITIVE_INFINITY };
        for (let mask = 0; mask < 2 ** (items.length - 1); mask++) {
          const groups: number[][] = [];
          items.forEach((_, i) => {
            if (i === 0 || (mask >> (i - 1)) & 1) groups.push([i]);
            else groups.at(-1)!.push(i);
          });
          const full = fullest(groups);
          if (full > 10) continue;
          const better = groups.length < best.count || (groups.length === best.count && full < best.fullest);
          if (better) best = { count: groups.length, fullest: full };
        }
        expect(packed.length).toBe(best.count);
        expect(fullest(packed)).toBeCloseTo(best.fullest, 6);
      }),
      { seed: 20, numRuns: 300 },
    );
  });
});
