import { describe, expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { ownNoiseMm3 } from '../../fixtures/make/own-noise.js';
import {
  loosePieces,
  type MadePlate,
  type PlatePlan,
  plateMould,
  plateScan,
  sculptClosed,
  sculptOpen,
  sculptShells,
} from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { moved, noisy, randomMotion, shuffled } from '../../fixtures/make/transform.js';
import { checksOf } from '../record.js';
import { type Format, surveyFile } from './surveyed.js';

const agrees = checksOf(import.meta.url, 'One set of twelve cavities in every form');
const plan = analyticPlate();
const makers: [string, 'mould' | 'scan' | 'sculpt' | 'pieces', (plan: PlatePlan) => MadePlate][] = [
  ['mould', 'mould', plateMould],
  ['open scan', 'scan', plateScan],
  ['sculpt, closed', 'sculpt', sculptClosed],
  ['sculpt, open', 'sculpt', sculptOpen],
  ['sculpt, overlapping shells', 'sculpt', (all) => sculptShells(all, 1.5)],
  ['pieces', 'pieces', loosePieces],
];
const forms = makers.map(([title, form, make]) => [title, form, make(plan)] as const);
const truths = new Map(forms[0]![2].truth.cavities.map((truth) => [truth.name, truth]));
/** Loose pieces have no land whose length could tell the unit. */
const unit = { unit: 'mm' } as const;

describe('the same shapes as mould, scan, positives and pieces hold the same', () => {
  it.each(forms)('%s: form, names, numbers from the top left, volumes', async (_, form, { mesh }) => {
    const document = await surveyFile(shuffled(mesh, mulberry32(4)), 'obj', unit);
    expect(document.plate.form).toBe(form);
    // rows from the top, left to right: as they were laid out
    expect(document.cavities.map(({ number }) => number)).toEqual([...truths.keys()].map((_, i) => i + 1));
    const volumes = document.cavities.map((ours) => ours.volumeMm3!);
    for (const [i, truth] of [...truths.values()].entries()) {
      agrees({
        ...{ check: truth.name, source: 'the facets, exactly', unit: 'mm³' },
        ...{ expected: truth.volumeMm3, ours: volumes[i]!, allowed: 1e-4 * truth.volumeMm3 },
        because: 'clean mesh: 1e-4',
      });
      expect(Math.abs(document.cavities[i]!.volumeCheckMm3! / truth.volumeMm3 - 1)).toBeLessThan(1e-4);
    }
  });

  it.each(forms)('%s, turned (seed 11): volumes', async (_, form, { mesh }) => {
    const document = await surveyFile(moved(mesh, randomMotion(mulberry32(11), 50)), 'stl', unit);
    expect(document.plate.form).toBe(form);
    const volumes = document.cavities.map((ours) => ours.volumeMm3!).sort((a, b) => a - b);
    const expected = [...truths.values()].map((truth) => truth.volumeMm3).sort((a, b) => a - b);
    expect(volumes.length).toBe(12);
    for (const [i, volume] of volumes.entries()) expect(Math.abs(volume / expected[i]! - 1)).toBeLessThan(1e-4);
  });

  it.each(forms)(
    '%s: names and numbers from OBJ and 3MF, the same volumes from every format',
    async (_, form, made) => {
      for (const format of ['obj', '3mf', 'stl', 'ply'] satisfies Format[]) {
        const document = await surveyFile(made.mesh, format, { ...unit, quick: true });
        expect(document.plate.form).toBe(form);
        const named = format === 'obj' || format === '3mf';
        const names = named ? [...truths.keys()] : [...truths.keys()].map((_, i) => `cavity-${i + 1}`);
        expect(document.cavities.map(({ name }) => name)).toEqual(names);
        for (const [i, truth] of [...truths.values()].entries())
          expect(Math.abs(document.cavities[i]!.volumeMm3! / truth.volumeMm3 - 1)).toBeLessThan(1e-4);
      }
    },
  );
});

/** One seed in the usual run; `SEEDS=20 npx vitest run tests/outside/forms` for more, for twice the noise, and finer meshes. */
const seeds = Array.from({ length: Number(process.env.SEEDS ?? 1) }, (_, i) => i + 2);
const isMany = seeds.length > 1;

/**
 * At 0.5 mm of mesh the noise of the points adds to a small cavity a volume of its own that nobody can tell from the wall:
 * of the paraboloid (117 mm³) the limit is 2.8 of its standard deviations, of the obelisk and the ellipsoid 3.0. So of 20
 * seeds in six forms one or two readings lie past the limit whatever the method. They are held to four standard deviations,
 * and all together to what that noise leaves; on walls of 0.25 mm the limits stand without exception.
 */
const ownSigmas = 4;
/** Error over the standard deviation of the noise's own volume: 1 is the best that can be had. */
const efficiency = new Map<string, number[]>();
const shares = new Map<string, number[]>();

/** Surveys every form of some cavities under noise and holds their volumes. */
async function holdsUnderNoise(
  title: string,
  form: string,
  [made, plan]: readonly [MadePlate, PlatePlan],
  noise: { sigmaMm: number; seed: number; along: readonly [number, number, number] | 'normal' },
): Promise<void> {
  const { sigmaMm, seed, along } = noise;
  const document = await surveyFile(moved(noisy(made.mesh, noise), randomMotion(mulberry32(seed), 50)), 'stl', {
    ...unit,
    quick: true,
  });
  expect(document.plate.form).toBe(form);
  expect(Math.abs(document.plate.noiseMm! / sigmaMm - 1)).toBeLessThan(0.12);
  const volumes = document.cavities.map((ours) => ours.volumeMm3!).sort((a, b) => a - b);
  const expected = [...made.truth.cavities].sort((a, b) => a.volumeMm3 - b.volumeMm3);
  expect(volumes.length).toBe(expected.length);
  const doubled = sigmaMm / 0.05;
  const own = ownNoiseMm3(plateMould(plan), sigmaMm, along === 'normal' ? undefined : along);
  const key = `${title}, points every ${plan.meshMm} mm, noise ${sigmaMm} mm ${along === 'normal' ? 'along the normal' : 'across the plate'}`;
  const [errors, relative] = [efficiency.get(key) ?? [], shares.get(key) ?? []];
  efficiency.set(key, errors);
  shares.set(key, relative);
  for (const [i, { name, volumeMm3 }] of expected.entries()) {
    errors.push((volumes[i]! - volumeMm3) / own.get(name)!);
    relative.push(volumes[i]! / volumeMm3 - 1);
    const limit = doubled * Math.max(0.006 * volumeMm3, 0.5);
    const left = isMany || sigmaMm < 0.05 ? ownSigmas * own.get(name)! : 0;
    agrees({
      ...{ check: `${name}: noise ${sigmaMm} mm, ${title}, points every ${plan.meshMm} mm`, unit: 'mm³' },
      ...{ source: 'the noise-free facets, exactly', expected: volumeMm3, ours: volumes[i]! },
      allowed: Math.max(limit, left),
      because:
        left > limit
          ? `${ownSigmas} standard deviations of the noise's own volume`
          : `${0.6 * doubled} % or ${0.5 * doubled} mm³`,
    });
  }
}

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

describe('noise of 0.05 mm, 0.5 mm mesh, on every form', () => {
  const dense = { ...plan, meshMm: 0.5, landMeshMm: 0.5 };
  // noise across the plate folds what hangs over, at any spacing; along the surface's own normal it does not
  const open = { ...dense, cavities: plan.cavities.slice(0, 10) };
  const fine = { ...dense, meshMm: 0.25 };

  describe.each(makers)('%s: every cavity, no phantom, volumes within 0.6 % or 0.5 mm³', (title, form, make) => {
    it.each(seeds)('along the normal, twelve shapes (seed %i)', async (seed) => {
      await holdsUnderNoise(title, form, [make(dense), dense], { sigmaMm: 0.05, seed, along: 'normal' });
    });

    if (!isMany) return;
    it.each(seeds)('walls of 0.25 mm (seed %i)', async (seed) => {
      await holdsUnderNoise(title, form, [make(fine), fine], { sigmaMm: 0.05, seed, along: 'normal' });
    });

    it.each(seeds)('across the plate, ten shapes (seed %i)', async (seed) => {
      await holdsUnderNoise(title, form, [make(open), open], { sigmaMm: 0.05, seed, along: [0, 0, 1] });
    });

    it.each(seeds)('0.1 mm: errors at most doubled (seed %i)', async (seed) => {
      await holdsUnderNoise(title, form, [make(dense), dense], { sigmaMm: 0.1, seed, along: 'normal' });
    });
  });

  it("the errors are those of the noise's own volume: root mean square under 1.25 of it, mean under 0.1 %", () => {
    for (const [key, errors] of efficiency) {
      // ten readings and more know a root mean square within 1 / sqrt(2 n): three times that for few
      const slack = isMany ? 0 : 3 / Math.sqrt(2 * errors.length);
      // on finer walls the land, whose points are as far apart as before, has the larger part of what is left
      if (!key.includes('every 0.25 mm'))
        expect(Math.sqrt(mean(errors.map((error) => error ** 2))), key).toBeLessThan(1.25 + slack);
      if (isMany) expect(Math.abs(mean(shares.get(key)!)), key).toBeLessThan(key.includes('0.1 mm') ? 0.002 : 0.001);
      if (isMany)
        console.info(
          `${key}: ${errors.length} readings, rms of error / own noise ${Math.sqrt(mean(errors.map((error) => error ** 2))).toFixed(2)}, mean ${(100 * mean(shares.get(key)!)).toFixed(3)} %`,
        );
    }
  });

  it('loose pieces at 0.1 mm (seed 1): small caps find their backs, errors at most doubled', async () => {
    await holdsUnderNoise('pieces', 'pieces', [loosePieces(dense), dense], { sigmaMm: 0.1, seed: 1, along: 'normal' });
  });

  it.each([1, 2, 3])(
    'loose pieces at 0.005 mm (seed %i): their backs are one plane, far from each other',
    async (seed) => {
      await holdsUnderNoise('pieces', 'pieces', [loosePieces(dense), dense], { sigmaMm: 0.005, seed, along: 'normal' });
    },
  );
});
