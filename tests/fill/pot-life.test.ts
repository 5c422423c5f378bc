import { describe, expect, it } from 'vitest';
import { potLifeAt } from '../../src/fill/pot-life.js';
import type { Silicone } from '../../src/fill/silicone.js';

const base: Silicone = {
  name: 'own',
  ratioBy: 'weight',
  ratio: [1, 1],
  densityAGPerMl: 1.07,
  densityBGPerMl: 1.07,
  typical: false,
};

describe('pot life by temperature, halved per 10 °C (rule stated for epoxy)', () => {
  it('the doubt of the rule is a factor of 1.5 to 2.5 per 10 °C, in either direction', () => {
    const silicone = { ...base, potLife: { minutes: 30, atC: 20 } };
    const warm = potLifeAt(silicone, 30)!;
    expect(warm).toMatchObject({ minutes: 15, from: 'rule of thumb' });
    expect(warm.rangeMinutes).toEqual([12, 20]);
    expect(potLifeAt(silicone, 10)!.rangeMinutes).toEqual([45, 75]);
  });

  it('two points of the data sheet replace the rule, and both are met', () => {
    const silicone = { ...base, potLife: { minutes: 40, atC: 23 }, potLifeSecond: { minutes: 12, atC: 38 } };
    expect(potLifeAt(silicone, 38)).toMatchObject({ minutes: expect.closeTo(12, 9), from: 'two data-sheet points' });
    expect(potLifeAt(silicone, 23)).toMatchObject({ minutes: 40, from: 'data sheet' });
    // Half-way the time is the geometric mean of the two.
    expect(potLifeAt(silicone, 30.5)!.minutes).toBeCloseTo(Math.sqrt(40 * 12), 9);
  });

  it('is unknown where the material states none, and as stated where nobody says how warm the room is', () => {
    expect(potLifeAt(base, 25)).toBeUndefined();
    expect(potLifeAt({ ...base, potLife: { minutes: 40 } }, undefined)).toMatchObject({ minutes: 40, atC: 23 });
  });
});
