import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { roundUpG, roundUpInRatio, stepG } from '../../src/fill/scale.js';

const shares = fc.tuple(
  fc.double({ min: 0.01, max: 100, noNaN: true }),
  fc.double({ min: 0.01, max: 100, noNaN: true }),
);

describe('rounding to the scale', () => {
  it('goes by 0.1 g from 10 g on and by 0.01 g below, and only up', () => {
    expect([9.991, 9.99, 10, 10.01, 12.3, 12.31].map((mass) => roundUpG(mass))).toEqual([
      10, 9.99, 10, 10.1, 12.3, 12.4,
    ]);
    expect(roundUpG(0.1 + 0.2)).toBe(0.3);
  });

  it('keeps A to B exact to the scale step and never mixes less than needed', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 5000, noNaN: true }), shares, (total, [p, q]) => {
        const share = [p / (p + q), q / (p + q)];
        const masses = roundUpInRatio(total, share);
        expect(masses[0]! + masses[1]!).toBeGreaterThanOrEqual(total - 1e-5);
        masses.forEach((mass, i) => {
          expect(mass).toBeGreaterThanOrEqual(total * share[i]! - 1e-6);
          const followed = (masses[1 - i]! * share[i]!) / share[1 - i]!;
          const lead = share[i]! >= share[1 - i]!;
          // The smaller part is within its own step of the ratio; seen from it, the larger within that step scaled up.
          const step = lead ? (stepG(masses[1 - i]!) * share[i]!) / share[1 - i]! : stepG(mass);
          expect(Math.abs(mass - followed)).toBeLessThanOrEqual(step + 1e-5);
        });
      }),
      { seed: 1, numRuns: 1000 },
    );
  });

  it('shows masses that a scale can show', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 5000, noNaN: true }), (mass) => {
        const rounded = roundUpG(mass);
        const step = stepG(rounded);
        expect(Math.abs(rounded / step - Math.round(rounded / step))).toBeLessThan(1e-6);
        expect(rounded - mass).toBeLessThan(stepG(mass) + 1e-9);
      }),
      { seed: 2 },
    );
  });
});
