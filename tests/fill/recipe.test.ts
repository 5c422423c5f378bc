import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { genericSilicones } from '../../src/fill/generic-silicones.js';
import { planMix } from '../../src/fill/mix.js';
import { plateFromSurvey } from '../../src/fill/plate-load.js';
import { type Basis, makeRecipe, neatRecipe, shareOf } from '../../src/fill/recipe.js';
import type { Additive } from '../../src/fill/shelf/shelf.js';
import { readShelf } from '../../src/fill/shelf/shelf.js';
import { massShares, volumeShrinkagePct } from '../../src/fill/silicone.js';
import { cavity, surveyOf } from './made-survey.js';

const tenToOne = neatRecipe(genericSilicones[2]!);
const softener: Additive = { name: 'softener', kind: 'softener', densityGPerMl: 0.97 };
const pigment: Additive = { name: 'red', kind: 'pigment', densityGPerMl: 1.4, dropG: 0.03 };
const flock: Additive = { name: 'flock', kind: 'flock', densityGPerMl: 1.5 };

describe('mass balance', () => {
  it('50 % softener of A+B is a third of the total; 50 % of the total is as much as A+B', () => {
    const ofAB = makeRecipe({ ...tenToOne, additives: [{ additive: softener, pct: 50, of: 'A+B' }] });
    expect(shareOf(ofAB, 'softener')).toBeCloseTo(1 / 3, 12);
    const ofTotal = makeRecipe({ ...tenToOne, additives: [{ additive: softener, pct: 50, of: 'total' }] });
    expect(shareOf(ofTotal, 'softener')).toBeCloseTo(0.5, 12);
  });

  it('volumes add: 100 g of 1.10 / 1.02 at 10:1 with 30 g of 0.97', () => {
    const recipe = makeRecipe({ ...tenToOne, additives: [{ additive: softener, pct: 30, of: 'A+B' }] });
    const volumeMl = 90.909_090_909 / 1.1 + 9.090_909_091 / 1.02 + 30 / 0.97;
    expect(recipe.densityGPerMl).toBeCloseTo(130 / volumeMl, 9);
  });

  it('colour by share of a part and by drops: 2 % of B, and 4 drops of 0.03 g to 100 g of A', () => {
    const recipe = makeRecipe({
      ...tenToOne,
      additives: [
        { additive: flock, pct: 2, of: 'B' },
        { additive: pigment, pct: (100 * 4 * 0.03) / 100, of: 'A' },
      ],
    });
    // For 110 g of A+B: 100 g A, 10 g B, 0.2 g flock, 0.12 g pigment.
    const total = 110 + 0.2 + 0.12;
    expect(recipe.portions.map(({ share }) => share * total)).toEqual([
      expect.closeTo(100, 9),
      expect.closeTo(10, 9),
      expect.closeTo(0.2, 9),
      expect.closeTo(0.12, 9),
    ]);
  });

  it('shares add to 1 and A to B stays exact, whatever goes in besides', () => {
    const use = fc.record({
      additive: fc.constantFrom(softener, pigment, flock),
      pct: fc.double({ min: 0, max: 20, noNaN: true }),
      of: fc.constantFrom<Basis>('A', 'B', 'A+B', 'total'),
    });
    fc.assert(
      fc.property(fc.constantFrom(...genericSilicones), fc.array(use, { maxLength: 4 }), (silicone, additives) => {
        const recipe = makeRecipe({ ...neatRecipe(silicone), additives });
        expect(recipe.portions.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
        const [a, b] = massShares(silicone);
        expect(recipe.portions[0]!.share / recipe.portions[1]!.share).toBeCloseTo(a / b, 9);
        additives.forEach(({ pct, of }, i) => {
          const basis = { A: [0], B: [1], 'A+B': [0, 1], total: recipe.portions.map((_, index) => index) }[of];
          const base = basis.reduce((sum, index) => sum + recipe.portions[index]!.share, 0);
          expect(recipe.portions[2 + i]!.share).toBeCloseTo((pct / 100) * base, 9);
        });
      }),
      { seed: 18 },
    );
  });

  it('a barrier film takes its room from the silicone: 20 µm on 320 mm² are 6.4 mm³', () => {
    const plate = plateFromSurvey(surveyOf([cavity(1, 'brow', 3200, { wallAreaMm2: 320 })]));
    const encapsulated = planMix([plate], { recipes: [tenToOne], way: 'encapsulated' });
    expect(encapsulated.perCavity[0]!.volumeMl).toBeCloseTo(3.2 - 0.0064, 12);
    expect(planMix([plate], { recipes: [tenToOne], way: 'straight' }).perCavity[0]!.volumeMl).toBeCloseTo(3.2, 12);
  });

  it('a skin transfer that the film fills is a stop, not a piece of 0 g', () => {
    const plate = plateFromSurvey(surveyOf([cavity(1, 'skin', 5, { wallAreaMm2: 320 }), cavity(2, 'brow', 3200)]));
    const document = planMix([plate], { recipes: [tenToOne], way: 'encapsulated' });
    expect(document.perCavity.map(({ name }) => name)).toEqual(['brow']);
    expect(document.findings[0]).toMatchObject({ code: 'volume-missing', severity: 'stop', cavity: 1 });
  });

  it('shrinkage shows on the piece and adds nothing: 0.1 % linear are 0.2997 % of the volume', () => {
    const plate = plateFromSurvey(surveyOf([cavity(1, 'brow', 3200)]));
    const exact = { way: 'straight', overfillPct: 0, cupLossG: 0 } as const;
    const shrinking = neatRecipe({ ...genericSilicones[0]!, shrinkagePct: 0.1 });
    const document = planMix([plate], { ...exact, recipes: [shrinking] });
    const neat = planMix([plate], { ...exact, recipes: [neatRecipe(genericSilicones[0]!)] });
    expect(document.batches).toEqual(neat.batches);
    expect(document.findings.find(({ code }) => code === 'shrinkage')!.message).toContain('0.3 % of the volume');
    // (1 - 0.001)³ = 0.997003.
    expect(volumeShrinkagePct(0.1)).toBeCloseTo(0.2997, 4);
  });
});

describe('colour before A meets B', () => {
  const shelf = readShelf(`
silicones: [{name: base, ratio: 1:1, ratio-by: weight, density: 1.07 g/ml}]
softeners: [{name: softener, density: 0.97 g/ml}]
pigments: [{name: red, density: 1.4 g/ml}]
recipes:
  - name: ghost
    silicone: base
    tint-into: B
    add: [{what: softener, share: 20 %, of: A+B}, {what: red, share: 2 %, of: B}]
masters: [{name: 'ghost: B, tinted', left: 10 g}]
`);
  const plate = plateFromSurvey(surveyOf([cavity(1, 'brow', 20_000)]));
  const document = planMix([plate], {
    recipes: [makeRecipe(shelf.recipes[0]!)],
    way: 'straight',
    fills: 2,
    overfillPct: 0,
    cupLossG: 0,
    mastersLeftG: { 'ghost: B, tinted': 10 },
  });

  it('weighs the tinted part first, then softener, and A last', () => {
    const [batch] = document.batches;
    expect(batch!.order.map(({ part }) => part)).toEqual(['B, tinted', 'softener', 'A']);
    expect(batch!.order.reduce((sum, { massG }) => sum + massG, 0)).toBeCloseTo(batch!.totalG, 9);
    const massOf = (name: string) => batch!.parts.find(({ part }) => part === name)!.massG;
    expect(batch!.order[0]!.massG).toBeCloseTo(massOf('B') + massOf('red'), 9);
  });

  it('scales the master to the plan, less what is left', () => {
    const [master] = document.masters;
    const tinted = document.batches.reduce((sum, { order }) => sum + order[0]!.massG, 0);
    expect(master).toMatchObject({
      needG: expect.closeTo(tinted, 6),
      leftG: 10,
      makeG: expect.closeTo(tinted - 10, 6),
    });
    // Of 102 g of the master, 100 are B and 2 are red; 100/1.07 + 2/1.4 ml.
    expect(master!.densityGPerMl).toBeCloseTo(102 / (100 / 1.07 + 2 / 1.4), 9);
    expect(master!.recipe[1]!.massG).toBeCloseTo((tinted - 10) * (2 / 102), 1);
    expect(
      document.batches[0]!.order.every(({ massG }) => Math.abs(massG * 100 - Math.round(massG * 100)) < 1e-9),
    ).toBe(true);
  });

  it('weighs colour to the nearest step of the scale, never a step up, and says where that is too coarse', () => {
    const small = planMix([plateFromSurvey(surveyOf([cavity(1, 'brow', 5000)]))], {
      recipes: [makeRecipe({ ...tenToOne, additives: [{ additive: pigment, pct: 0.5, of: 'A+B' }], tintInto: 'A' })],
      way: 'straight',
      overfillPct: 0,
      cupLossG: 0,
      scale: { stepG: 0.1 },
    });
    // 5 ml at 1.093 g/ml are 5.47 g, 0.027 g of it red: under half a step of 0.1 g; 0.9 of a drop of 0.03 g.
    const [master] = small.masters;
    expect(master!.recipe[1]).toEqual({ part: 'red', massG: 0, drops: 0.9 });
    const finding = small.findings.find(({ code }) => code === 'small-part');
    expect(finding).toMatchObject({ severity: 'caution', message: expect.stringContaining('tint more at once') });
  });

  it.each([
    ['much-pigment', pigment, 4],
    ['much-flock', flock, 1.5],
  ])('says %s', (code, additive, pct) => {
    const coloured = makeRecipe({ ...tenToOne, additives: [{ additive, pct, of: 'A+B' }] });
    const { findings } = planMix([plate], { recipes: [coloured], way: 'straight' });
    expect(findings.find((finding) => finding.code === code)).toMatchObject({ severity: 'caution' });
  });
});
