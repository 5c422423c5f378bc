import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assumed } from '../../src/fill/assumptions.js';
import { usableShare } from '../../src/fill/batches.js';
import { genericSilicones } from '../../src/fill/generic-silicones.js';
import { type MixOptions, planMix } from '../../src/fill/mix.js';
import { plateFromSurvey } from '../../src/fill/plate-load.js';
import { makeRecipe, neatRecipe } from '../../src/fill/recipe.js';
import { cavity, surveyOf } from './made-survey.js';

const [soft, , tenToOne] = genericSilicones;
const softener = { name: 'softener', kind: 'softener' as const, densityGPerMl: 0.97 };
const platesOf = (...lists: number[][]) =>
  lists.map((list) => plateFromSurvey(surveyOf(list.map((v, i) => cavity(i + 1, `piece ${i + 1}`, v)))));
const exact = { recipes: [neatRecipe(soft!)], way: 'straight' as const, overfillPct: 0, cupLossG: 0 };

describe('batches by the clock', () => {
  it('45 min of pot life, 70 % used: mixing 3 and fills of 3 + 2 min, so five fills a batch, and seven make 4 + 3', () => {
    const document = planMix(platesOf([3000, 4000]), { ...exact, fills: 7 });
    expect(document.batches.map(({ fills }) => fills[0]!.count)).toEqual([4, 3]);
    expect(document.batches[0]).toMatchObject({ minutes: 3 + 4 * 5, usableMinutes: expect.closeTo(31.5, 9) });
    expect(planMix(platesOf([3000, 4000]), { ...exact, fills: 5 }).batches).toHaveLength(1);
    expect(planMix(platesOf([3000, 4000]), { ...exact, fills: 6 }).batches).toHaveLength(2);
  });

  it('is shorter in a warm room, and five minutes shorter under vacuum', () => {
    const at = (more: Partial<MixOptions>) => planMix(platesOf([3000, 4000]), { ...exact, fills: 5, ...more }).batches;
    expect(at({ roomC: 33 }).length).toBe(3);
    expect(at({ degassed: true })).toHaveLength(2);
  });

  it('a plate that takes longer than the pot life is poured from two cups, cavity by cavity', () => {
    const document = planMix(platesOf(Array.from({ length: 12 }, () => 2000)), { ...exact, way: 'encapsulated' });
    // 5 + 2.5 a cavity: nine cavities take 27.5 + 3 = 30.5 min of 31.5, ten take 33; two cups, as equal as can be.
    expect(document.batches.map(({ fills }) => fills.map(({ cavities }) => cavities))).toEqual([
      [[1, 2, 3, 4, 5, 6]],
      [[7, 8, 9, 10, 11, 12]],
    ]);
    expect(document.batches.every(({ minutes, usableMinutes }) => minutes <= usableMinutes!)).toBe(true);
    expect(document.findings.some(({ severity }) => severity === 'stop')).toBe(false);
  });

  it('a single cavity that gels too early is a stop', () => {
    const quick = neatRecipe({ ...soft!, potLife: { minutes: 8, atC: 23 } });
    const { findings } = planMix(platesOf([3000]), { ...exact, recipes: [quick] });
    expect(findings[0]).toMatchObject({ code: 'over-pot-life', severity: 'stop' });
  });
});

describe('batches by cup and scale', () => {
  it('a cup of 100 ml takes 80 ml, or 25 under vacuum', () => {
    const neat = neatRecipe({ ...soft!, potLife: undefined });
    const counts = (degassed: boolean) =>
      planMix(platesOf([10_000]), { ...exact, recipes: [neat], fills: 14, cupsMl: [100], degassed }).batches.map(
        ({ fills }) => fills[0]!.count,
      );
    expect(counts(false)).toEqual([7, 7]);
    expect(counts(true)).toEqual(Array.from({ length: 7 }, () => 2));
  });

  it('a cavity larger than every cup is a stop', () => {
    const { findings } = planMix(platesOf([200_000]), { ...exact, cupsMl: [100, 200] });
    expect(findings[0]).toMatchObject({ code: 'over-cup', severity: 'stop' });
  });

  it('4 g stay in a full 100 ml cup and 8 g in a full 500 ml cup', () => {
    const loss = (ml: number, cup: number) =>
      planMix(platesOf([1000 * ml]), {
        recipes: [neatRecipe(soft!)],
        way: 'straight',
        overfillPct: 0,
        cupsMl: [cup],
      }).allowances.find(({ what }) => what === 'cup and stick')!.massG;
    expect(loss(50, 100)).toBeCloseTo(4, 12);
    expect(loss(300, 500)).toBeCloseTo(8, 12);
  });

  it('flags a mix under 20 g with what the scale may put it off', () => {
    // 5 ml x 1.07 = 5.35 g, A and B 2.68 (2.675 up): half a step of 0.01 g in each is 0.37 %.
    const { findings, batches } = planMix(platesOf([5000]), exact);
    expect(batches[0]!.ratioErrorPct).toBeCloseTo(100 * (0.005 / 2.68) * 2, 9);
    expect(findings.find(({ code }) => code === 'small-mix')!.message).toContain('0.4 % off');
  });
});

const anyPlates = fc.array(fc.array(fc.integer({ min: 50, max: 30_000 }), { minLength: 1, maxLength: 10 }), {
  minLength: 1,
  maxLength: 3,
});

describe('laws of any batch', () => {
  it('none exceeds cup, scale or pot life without a stop that says so, and A to B is exact to the step', () => {
    const recipes = fc.constantFrom(
      neatRecipe(soft!),
      neatRecipe(tenToOne!),
      makeRecipe({ ...neatRecipe(tenToOne!), additives: [{ additive: softener, pct: 40, of: 'A+B' }] }),
    );
    fc.assert(
      fc.property(
        anyPlates,
        recipes,
        fc.record({
          way: fc.constantFrom('straight' as const, 'encapsulated' as const),
          fills: fc.integer({ min: 1, max: 12 }),
          roomC: fc.integer({ min: 15, max: 32 }),
          cupsMl: fc.option(fc.constantFrom([100], [250, 500], [1000]), { nil: undefined }),
          degassed: fc.boolean(),
          scale: fc.constantFrom({}, { stepG: 0.1 }, { stepG: 0.1, maxG: 200 }, { stepG: 1, maxG: 2000 }),
        }),
        (lists, recipe, options) => {
          const document = planMix(platesOf(...lists), { recipes: [recipe], ...options });
          const stops = new Set(
            document.findings.filter(({ severity }) => severity === 'stop').map(({ code }) => code),
          );
          const density = document.materials[0]!.densityGPerMl;
          for (const batch of document.batches) {
            const usableMl = batch.cupMl * usableShare(assumed(options.way), options.degassed);
            if (!stops.has('over-cup')) expect(batch.totalG / density).toBeLessThanOrEqual(usableMl * (1 + 1e-9));
            if (!stops.has('over-scale')) {
              expect(batch.totalG).toBeLessThanOrEqual((options.scale as { maxG?: number }).maxG ?? 1e9);
            }
            if (!stops.has('over-pot-life')) expect(batch.minutes).toBeLessThanOrEqual(batch.usableMinutes! + 1e-9);
            const [a, b] = batch.parts;
            const [shareA, shareB] = [recipe.portions[0]!.share, recipe.portions[1]!.share];
            const [lead, other, ratio] = shareA >= shareB ? [a!, b!, shareB / shareA] : [b!, a!, shareA / shareB];
            const step = (options.scale as { stepG?: number }).stepG ?? (other.massG >= 10 ? 0.1 : 0.01);
            expect(other.massG - lead.massG * ratio).toBeGreaterThanOrEqual(-1e-6);
            expect(other.massG - lead.massG * ratio).toBeLessThanOrEqual(step + 1e-6);
          }
        },
      ),
      { seed: 16, numRuns: 150 },
    );
  });

  it('every cavity of every fill is poured exactly once', () => {
    fc.assert(
      fc.property(anyPlates, fc.integer({ min: 1, max: 9 }), fc.boolean(), (lists, fills, vacuum) => {
        const document = planMix(platesOf(...lists), { ...exact, fills, degassed: vacuum, cupsMl: [250] });
        const poured = new Map<string, number>();
        for (const fill of document.batches.flatMap((batch) => batch.fills)) {
          for (const n of fill.cavities) {
            const key = `${fill.plate}:${n}`;
            poured.set(key, (poured.get(key) ?? 0) + fill.count);
          }
        }
        expect([...poured.values()].every((count) => count === fills)).toBe(true);
        expect(poured.size).toBe(lists.flat().length);
      }),
      { seed: 17, numRuns: 80 },
    );
  });
});
