import { describe, expect, it } from 'vitest';
import type { PlatePlan } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { sunkPieces } from '../../fixtures/make/sunk.js';
import { moved, noisy, randomMotion } from '../../fixtures/make/transform.js';
import { checksOf } from '../record.js';
import { surveyFile } from './surveyed.js';

const agrees = checksOf(
  import.meta.url,
  "Pieces sunk into a board, as shells whose wall goes on under the board's face",
);
const source = "the noise-free facets, cut at the board's face";
const seeds = Array.from({ length: Number(process.env.SEEDS ?? 2) }, (_, i) => i + 1);

const plan: PlatePlan = {
  ...{ lengthMm: 100, widthMm: 100, blockMm: 20, meshMm: 0.5, landMeshMm: 0.5 },
  cavities: [
    { name: 'cone of 14 degrees', shape: { kind: 'cone', radius: 18, depth: 4.5 }, x: 26, y: 26 },
    { name: 'cone of 37 degrees', shape: { kind: 'cone', radius: 10, depth: 7.5 }, x: 70, y: 26 },
    { name: 'cap', shape: { kind: 'cap', radius: 12, depth: 5 }, x: 26, y: 72 },
    { name: 'frustum', shape: { kind: 'frustum', radius: 10, floorRadius: 6, depth: 6 }, x: 70, y: 72 },
  ],
};

/** Surveys the sunk pieces, turned and moved, and holds both volumes and the opening of each. */
async function holds(meshMm: number, sigmaMm: number, seed: number): Promise<void> {
  const { mesh, truth } = sunkPieces({ ...plan, meshMm }, 1.5);
  const made = sigmaMm === 0 ? mesh : noisy(mesh, { sigmaMm, seed, along: 'normal' });
  const document = await surveyFile(moved(made, randomMotion(mulberry32(seed), 50)), 'stl', { unit: 'mm' });
  expect(document.plate.form).toBe('sculpt');
  expect(document.cavities.length).toBe(truth.length);
  expect(
    document.findings.filter(({ code }) => code === 'volume-methods-differ' || code === 'cavities-overlap'),
  ).toEqual([]);
  const ours = document.cavities.toSorted((a, b) => a.volumeMm3! - b.volumeMm3!);
  const expected = truth.toSorted((a, b) => a.volumeMm3 - b.volumeMm3);
  for (const [i, { name, volumeMm3, openingAreaMm2 }] of expected.entries()) {
    const at = `${name}: points every ${meshMm} mm, noise ${sigmaMm} mm`;
    const clean = { allowed: 1e-4 * volumeMm3, because: 'clean mesh: 1e-4' };
    const limit = sigmaMm === 0 ? clean : { allowed: Math.max(0.006 * volumeMm3, 0.5), because: '0.6 % or 0.5 mm³' };
    const { volumeMm3: first, volumeCheckMm3, openingAreaMm2: opening } = ours[i]!;
    const volume = { source, unit: 'mm³', expected: volumeMm3 };
    agrees({ check: at, ...volume, ours: first!, ...limit });
    agrees({ check: `${at}, second method`, ...volume, ours: volumeCheckMm3!, ...limit });
    agrees({
      ...{ check: `${at}, opening`, source, unit: 'mm²', expected: openingAreaMm2, ours: opening! },
      ...{ allowed: (sigmaMm === 0 ? 1e-4 : 0.01) * openingAreaMm2, because: sigmaMm === 0 ? 'clean mesh' : '1 %' },
    });
  }
}

describe('pieces sunk into a board: what lies under its face does not count', () => {
  it.each([0.5, 1, 2])('no noise, points every %d mm', async (meshMm) => {
    await holds(meshMm, 0, 1);
  });

  it.each(seeds)('noise of 0.05 mm, points every 0.5 mm (seed %i)', async (seed) => {
    await holds(0.5, 0.05, seed);
  });

  it.each(seeds)('noise of 0.02 mm, points every 1 mm (seed %i)', async (seed) => {
    await holds(1, 0.02, seed);
  });
});
