import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cupMixOf, rescue } from '../../src/fill/bench/rescue.js';
import { inCupFrom, retarget, tolerancePct } from '../../src/fill/bench/retarget.js';
import { genericSilicones } from '../../src/fill/generic-silicones.js';
import { planMix } from '../../src/fill/mix.js';
import { plateFromSurvey } from '../../src/fill/plate-load.js';
import { makeRecipe, neatRecipe } from '../../src/fill/recipe.js';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

const softener = { name: 'softener', kind: 'softener' as const, densityGPerMl: 0.97 };
const soft = neatRecipe(genericSilicones[0]!);
const tenToOne = neatRecipe(genericSilicones[2]!);
const softened = makeRecipe({ ...tenToOne, additives: [{ additive: softener, pct: 30, of: 'A+B' }] });
const recipes = fc.constantFrom(soft, tenToOne, softened);
const grams = fc.double({ min: 0, max: 500, noNaN: true });

describe('at the scale', () => {
  it('B follows an A that was overshot: 28.0 g for 27.1 at 1:1', () => {
    const { targets, totalG } = retarget(soft.portions, new Map([['A', 28]]), { needG: 54.2 });
    expect(targets).toEqual([
      { part: 'A', inCupG: 28, addG: 0 },
      { part: 'B', inCupG: 0, addG: 28 },
    ]);
    expect(totalG).toBe(56);
  });

  it('reads a scale that was not tared', () => {
    const readings = [
      { part: 'A', shownG: 28 },
      { part: 'B', shownG: 56.3 },
    ];
    expect([...inCupFrom(readings, true)].map(([part, g]) => [part, Number(g.toFixed(6))])).toEqual([
      ['A', 28],
      ['B', 28.3],
    ]);
  });

  it('carries on under 2 % off, and asks for the other part over it', () => {
    const near = retarget(
      soft.portions,
      new Map([
        ['A', 28],
        ['B', 28.5],
      ]),
      { needG: 54.2 },
    );
    expect(near.targets.every(({ addG }) => addG === 0)).toBe(true);
    expect(near.offPct).toBeCloseTo((0.5 / 28.5) * 100, 9);
    const far = retarget(
      soft.portions,
      new Map([
        ['A', 28],
        ['B', 29.5],
      ]),
      { needG: 54.2 },
    );
    expect(far.targets[0]).toEqual({ part: 'A', inCupG: 28, addG: 1.5 });
  });

  it('never asks to take material out, and ends in ratio with enough, whatever was weighed', () => {
    fc.assert(
      fc.property(recipes, fc.array(grams, { minLength: 0, maxLength: 3 }), grams, (recipe, weighed, needG) => {
        const inCup = new Map(weighed.slice(0, recipe.portions.length).map((g, i) => [recipe.portions[i]!.part, g]));
        const { targets, totalG } = retarget(recipe.portions, inCup, { needG });
        const ends = targets.map(({ inCupG, addG }, i) => (inCupG + addG) / recipe.portions[i]!.share);
        expect(targets.every(({ addG }) => addG >= 0)).toBe(true);
        targets.forEach(({ addG }, i) => {
          const step = addG >= 10 ? 0.1 : 0.01;
          const slack = step / 2 / recipe.portions[i]!.share + Math.max(...ends) * (tolerancePct / 100);
          expect(Math.max(...ends) - ends[i]!).toBeLessThanOrEqual(
            slack + 1e-6 + 0.05 / Math.min(...recipe.portions.map((p) => p.share)),
          );
        });
        expect(totalG).toBeGreaterThanOrEqual(needG * (1 - (2 * tolerancePct) / 100) - 0.2);
      }),
      { seed: 9, numRuns: 500 },
    );
  });
});

describe('a cup that was weighed wrongly', () => {
  it('30 g of A and 20 g of B at 1:1 want 10 g of B: 60 g, 10 more', () => {
    const result = rescue(
      cupMixOf(soft),
      new Map([
        ['A', 30],
        ['B', 20],
      ]),
      { cupMl: 100, elapsedMinutes: 5, potLife: undefined },
    );
    expect(result.targets[1]!.addG).toBe(10);
    expect(result).toMatchObject({ totalG: 60, moreG: 10, fits: true, tooLate: undefined });
    expect(result.volumeMl).toBeCloseTo(60 / 1.07, 9);
  });

  it('says when it does not fit, and when half the pot life is gone', () => {
    const potLife = { minutes: 45, rangeMinutes: [45, 45] as const, atC: 23, from: 'data sheet' as const };
    const full = rescue(
      cupMixOf(soft),
      new Map([
        ['A', 60],
        ['B', 20],
      ]),
      { cupMl: 100, elapsedMinutes: 23, potLife },
    );
    expect(full).toMatchObject({ fits: false, tooLate: true });
    expect(rescue(cupMixOf(soft), new Map([['A', 60]]), { elapsedMinutes: 22, potLife })).toMatchObject({
      tooLate: false,
    });
  });

  it('ends in ratio to the scale step, and only adds', () => {
    fc.assert(
      fc.property(
        recipes,
        fc.array(fc.double({ min: 0.5, max: 300, noNaN: true }), { minLength: 3, maxLength: 3 }),
        (recipe, now) => {
          const parts = cupMixOf(recipe).shares;
          const inCup = new Map(parts.map(({ part }, i) => [part, now[i]!]));
          const { targets, moreG, offPct } = rescue(cupMixOf(recipe), inCup, {});
          const total = Math.max(...targets.map(({ inCupG }, i) => inCupG / parts[i]!.share));
          targets.forEach(({ inCupG, addG }, i) => {
            expect(addG).toBeGreaterThanOrEqual(0);
            const step = addG >= 10 ? 0.1 : 0.01;
            // A cup that is hardly off stays as it is, and is then off by no more.
            const slack = offPct < tolerancePct ? (parts[i]!.share * total * tolerancePct) / 100 : step / 2;
            expect(Math.abs(inCupG + addG - parts[i]!.share * total)).toBeLessThanOrEqual(slack + 1e-6);
            if (offPct < tolerancePct) expect(addG).toBe(0);
          });
          expect(moreG).toBeGreaterThanOrEqual(-1e-9);
        },
      ),
      { seed: 10, numRuns: 500 },
    );
  });
});

describe('weigh and rescue on the command line', () => {
  const survey = surveyOf([cavity(1, 'brow', 10_000), cavity(2, 'chin', 5000)]);
  const mix = planMix([plateFromSurvey(survey)], { recipes: [soft], way: 'straight', overfillPct: 0, cupLossG: 0 });
  const folder = newFolder({ 'mix.json': JSON.stringify(mix), 'survey.json': JSON.stringify(survey) });

  it('takes the targets from a saved plan', async () => {
    // 15 ml at 1.07 g/ml: 16.05 g, A 8.03 (8.025 up), B 8.03.
    const before = await plateful(['weigh', 'mix.json', '--json'], { cwd: folder });
    expect(JSON.parse(before.out).targets.map(({ addG }: { addG: number }) => addG)).toEqual([8.03, 8.03]);
    const after = await plateful(['weigh', 'mix.json', '--weighed', 'A=8.61', '--running', '--json'], { cwd: folder });
    expect(JSON.parse(after.out).targets[1]).toEqual({ part: 'B', inCupG: 0, addG: 8.61 });
    const text = await plateful(['weigh', 'mix.json', '--weighed', 'A=8.61,B=17.22', '--running'], { cwd: folder });
    expect(text.out).toContain('carry on');
  });

  it.each([
    [['weigh', 'mix.json', '--weighed', 'C=1'], 1, 'part-unknown'],
    [['weigh', 'mix.json', '--weighed', 'A=9,B=8', '--running'], 1, 'reading-falls'],
    [['weigh', 'mix.json', '--batch', '2'], 1, 'batch-unknown'],
    [['weigh', 'survey.json'], 2, 'mix-word-unknown'],
    [['weigh'], 1, 'nothing-to-weigh'],
    [['weigh', '--need', '50', '--weighed', 'A'], 1, 'PART=GRAMS'],
    [['rescue'], 1, '--in-cup'],
  ])('refuses %j with status %i', async (argv, status, words) => {
    const result = await plateful(argv, { cwd: folder });
    expect(result).toMatchObject({ status, out: '' });
    expect(result.err).toContain(words);
  });

  it('rescue ends in status 3 where it is not worth it', async () => {
    const late = await plateful(['rescue', '--in-cup', 'A=30,B=20', '--cup', '100', '--minutes', '23']);
    expect(late.status).toBe(3);
    expect(late.out).toContain('Too late');
    const early = await plateful(['rescue', '--in-cup', 'A=30,B=20', '--cup', '100', '--minutes', '5']);
    expect(early.status).toBe(0);
  });
});
