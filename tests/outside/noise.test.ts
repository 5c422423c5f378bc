import { describe, expect, it } from 'vitest';
import { featherPlate } from '../../fixtures/make/feather-plate.js';
import { plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { moved, noisy, randomMotion } from '../../fixtures/make/transform.js';
import { checksOf } from '../record.js';
import { pairs, surveyFile } from './surveyed.js';

/** Three seeds in the usual run, for each reads 390,000 triangles; `SEEDS=20 npx vitest run tests/outside/noise` for all. */
const seeds = Array.from({ length: Number(process.env.SEEDS ?? 3) }, (_, i) => i + 1);

const agrees = checksOf(import.meta.url, 'Volumes under noise of 0.05 and 0.1 mm');
const made = plateMould(featherPlate(0.25));
const source = 'the noise-free facets, exactly (signed tetrahedra, Zhang and Chen 2001)';

/** Surveys the plate under noise and holds every figure; `doubled`: limits this many times those of 0.05 mm. */
async function holds(sigmaMm: number, seed: number, doubled: number): Promise<number[]> {
  const motion = randomMotion(mulberry32(seed), 100);
  const mesh = moved(noisy(made.mesh, { sigmaMm, seed, along: [0, 0, 1] }), motion);
  const document = await surveyFile(mesh, 'stl');
  expect(document.plate.noiseMm).toBeCloseTo(sigmaMm, 2);
  const found = pairs(document, made, motion);
  const at = `noise ${sigmaMm} mm`;
  for (const { truth, ours } of found) {
    agrees({
      ...{ check: `${truth.name}, ${at}`, source, unit: 'mm³', expected: truth.volumeMm3, ours: ours.volumeMm3! },
      allowed: doubled * Math.max(0.006 * truth.volumeMm3, 0.5),
      because: `${doubled * 0.6} % or ${doubled * 0.5} mm³, the noise of a small cavity`,
    });
    if (truth.name !== 'feather 3') continue;
    const because = `rim of a 3 degree feather: ${sigmaMm} mm of noise is ${20 * sigmaMm} mm of rim for a single point`;
    const opening = {
      expected: truth.openingAreaMm2,
      ours: ours.openingAreaMm2!,
      allowed: doubled * 0.01 * truth.openingAreaMm2,
    };
    const rim = { expected: truth.rimLengthMm, ours: ours.rimLengthMm!, allowed: doubled * 0.02 * truth.rimLengthMm };
    agrees({ check: `${truth.name}, opening, ${at}`, source, unit: 'mm²', ...opening, because });
    agrees({ check: `${truth.name}, rim, ${at}`, source, unit: 'mm', ...rim, because });
  }
  return found.map(({ truth, ours }) => ours.volumeMm3! / truth.volumeMm3 - 1);
}

/** With fewer than twenty seeds the mean itself is less certain, by the root of their number. */
const fewer = (count: number) => Math.sqrt(20 / Math.min(20, count));
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

describe('noise of 0.05 mm along the normal, 0.25 mm mesh, feathers, two rims 1 mm apart, 10 to 2,000 mm³', () => {
  const errors: number[] = [];

  it.each(seeds)('seed %i: every cavity, no phantom, volumes within 0.6 % or 0.5 mm³', async (seed) => {
    errors.push(...(await holds(0.05, seed, 1)));
  });

  it(`the mean signed error over ${seeds.length} seeds is under 0.1 %`, () => {
    expect(errors.length).toBe(8 * seeds.length);
    expect(Math.abs(mean(errors))).toBeLessThan(0.001 * fewer(seeds.length));
  });
});

describe('noise of 0.1 mm on the same plate', () => {
  const few = seeds.slice(0, Math.ceil(seeds.length / 3));
  const errors: number[] = [];

  it.each(few)('seed %i: every cavity, no phantom, errors at most doubled', async (seed) => {
    errors.push(...(await holds(0.1, seed, 2)));
  });

  it(`the mean signed error over ${few.length} seeds is under 0.2 %`, () => {
    expect(errors.length).toBe(8 * few.length);
    expect(Math.abs(mean(errors))).toBeLessThan(0.002 * fewer(few.length));
  });
});

describe('thickness under noise', () => {
  const shape = { kind: 'slab', length: 30, width: 20, depth: 2 } as const;
  const cavities = [{ name: 'slab', shape, x: 30, y: 25 }];
  const plate = plateMould({ lengthMm: 60, widthMm: 50, blockMm: 10, meshMm: 0.4, landMeshMm: 0.4, cavities });
  const own = process.env.SEEDS === undefined ? [1] : seeds;

  it.each(own)('a slab of 2 mm at 0.05 mm: minimum over 1.8 mm, median 2.00 within 0.05 mm (seed %i)', async (seed) => {
    const mesh = noisy(plate.mesh, { sigmaMm: 0.05, seed, along: [0, 0, 1] });
    const document = await surveyFile(mesh, 'stl', { unit: 'mm', edges: {} });
    const { minMm, medianMm } = document.cavities[0]!.thickness!;
    expect(minMm).toBeGreaterThan(1.8);
    expect(Math.abs(medianMm! - 2)).toBeLessThan(0.05);
  });
});
