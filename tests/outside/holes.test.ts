import { afterAll, describe, expect, it } from 'vitest';
import { bridgedCreases, fieldOf, fieldTruth, roundedEdges } from '../../fixtures/make/height-field.js';
import { type PlatePlan, plateScan } from '../../fixtures/make/plate.js';
import { distanceToLoop } from '../../fixtures/make/relief.js';
import { scanOf } from '../../fixtures/make/scan.js';
import { checksOf } from '../record.js';
import { pairs, surveyFile } from './surveyed.js';

/** A few seeds in the usual run; `SEEDS=100 npx vitest run tests/outside/holes` for the law. */
const seeds = Array.from({ length: Number(process.env.SEEDS ?? 5) }, (_, i) => i + 1);

const agrees = checksOf(import.meta.url, 'Scans with twenty holes of 1 mm radius');
const source = 'sums over the surface that was scanned';

/** Small, so that a hundred scans of it are soon surveyed, and its twenty holes as close as in a bad scan. */
const plan: PlatePlan = {
  ...{ lengthMm: 80, widthMm: 58, blockMm: 14, meshMm: 0.5, landMeshMm: 0.5 },
  cavities: [
    {
      ...{ name: 'feather', x: 17, y: 40 },
      shape: { kind: 'feather', radius: 13.5, angleDeg: 3, featherMm: 6, floorRadius: 6, depth: 2.5 },
    },
    { name: 'frustum', shape: { kind: 'frustum', radius: 13, floorRadius: 10, depth: 4 }, x: 46, y: 40 },
    { name: 'cap', shape: { kind: 'cap', radius: 6.78, depth: 0.7 }, x: 69, y: 44 },
    {
      // turned, or its edges would run along the rows of points, and 0.4 mm of spacing would show as one error
      ...{ name: 'obelisk', x: 15, y: 14, turnDeg: 25 },
      shape: { kind: 'obelisk', length: 16, width: 14, floorLength: 12, floorWidth: 10, depth: 2 },
    },
    { name: 'oval', shape: { kind: 'ellipsoid', a: 14, b: 9, c: 6, depth: 2.5 }, x: 43, y: 14, turnDeg: 30 },
  ],
};
const made = plateScan(plan);
// Rims have a radius of 0.3 mm, and creases are bridged alike.
const field = bridgedCreases(roundedEdges(fieldOf(made.mesh, 0.1), 0.3), 0.3);
const truths = fieldTruth(field, made);
const trueTotal = truths.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0);
const holeRadiusMm = 1;

/** The survey of one scan: the error of each cavity, its standard uncertainty, and how many holes lie on its rim. */
async function scanned(seed: number, noiseMm: number) {
  const { mesh, holes } = scanOf(field, {
    ...{ spacingMm: 0.4, seed, noiseMm, dropouts: { count: 20, radiusMm: holeRadiusMm } },
    viewpoints: [
      [-40, -40, 250],
      [120, -40, 250],
      [40, 100, 250],
    ],
  });
  const document = await surveyFile(mesh, 'stl', { unit: 'mm', quick: true });
  expect(document.repairs).toContainEqual(expect.objectContaining({ what: expect.stringMatching(/^holes/) }));
  const cavities = pairs(document, made, undefined, 4).map(({ ours }, i) => {
    const { name, volumeMm3 } = truths[i]!;
    const loop = made.truth.cavities[i]!.rimLoops[0]!;
    let onRim = 0;
    for (let k = 0; k < holes.length; k += 2) {
      if (distanceToLoop(loop, holes[k]!, holes[k + 1]!) < holeRadiusMm + 0.5) onRim++;
    }
    return { name, volumeMm3, onRim, ours: ours.volumeMm3!, sigma: ours.volumeUncertaintyMm3! };
  });
  const { volumeMm3: total, volumeUncertaintyMm3: totalSigma } = document.totals;
  return { cavities, total: total!, totalSigma: totalSigma! };
}

describe('without noise: the total within 0.5 %, each cavity within 0.5 % or 0.7 mm³ a hole on its rim', () => {
  it.each(seeds)('seed %i', async (seed) => {
    const { cavities, total } = await scanned(seed, 0);
    const share = 0.005;
    agrees({
      ...{ check: 'all cavities, no noise', source, unit: 'mm³', expected: trueTotal, ours: total },
      ...{ allowed: share * trueTotal, because: '0.5 %' },
    });
    for (const { name, volumeMm3, onRim, ours } of cavities) {
      agrees({
        ...{ check: `${name}, no noise`, source, unit: 'mm³', expected: volumeMm3, ours },
        ...{ allowed: Math.max(share * volumeMm3, 0.7 * onRim), because: '0.5 %, or 0.7 mm³ a hole on the rim' },
      });
    }
  });
});

describe('with noise of 0.03 mm: twice the standard uncertainty covers the error, and is not idle', () => {
  const covered: { name: string; error: number; doubt: number }[] = [];
  const totals: typeof covered = [];

  it.each(seeds)('seed %i: the total within 0.5 %', async (seed) => {
    const { cavities, total, totalSigma } = await scanned(seed, 0.03);
    agrees({
      ...{ check: 'all cavities, noise 0.03 mm', source, unit: 'mm³', expected: trueTotal, ours: total },
      ...{ allowed: 0.005 * trueTotal, because: '0.5 %' },
    });
    for (const { name, volumeMm3, ours, sigma } of cavities) {
      covered.push({ name, error: Math.abs(ours - volumeMm3), doubt: 2 * sigma });
    }
    totals.push({ name: 'all', error: Math.abs(total - trueTotal), doubt: 2 * totalSigma });
  });

  it.each([
    ['each cavity', covered],
    ['the total', totals],
  ])('%s: covered in 95 of 100, the median doubt at most four times the median error', (_, all) => {
    const share = all.filter(({ error, doubt }) => error <= doubt).length / all.length;
    // Of a few, more may lie outside by chance: within three standard deviations of a share of 0.95 among so many.
    const chance = seeds.length >= 100 ? 0 : 3 * Math.sqrt((0.95 * 0.05) / all.length);
    expect(share).toBeGreaterThanOrEqual(0.95 - chance);
    // A median of a few errors is itself uncertain, by about 1.25 / sqrt(n) of their spread.
    const slack = seeds.length >= 100 ? 1 : 1 + 2 / Math.sqrt(seeds.length);
    for (const [name, ratio] of idleness(all)) expect(ratio, name).toBeLessThan(4 * slack);
  });

  afterAll(() => {
    if (process.env.SEEDS === undefined) return;
    for (const [what, all] of Object.entries({ cavities: covered, totals })) {
      const share = all.filter(({ error, doubt }) => error <= doubt).length / all.length;
      const ratios = idleness(all).map(([name, ratio]) => `${name} ${ratio.toFixed(2)}`);
      console.log(
        `${what}: ${all.length}, covered ${share.toFixed(3)}, median doubt / median error ${ratios.join(', ')}`,
      );
    }
  });
});

/** Median doubt over median error, of each cavity by itself: large ones and small ones have errors of different size. */
function idleness(all: readonly { name: string; error: number; doubt: number }[]): [string, number][] {
  return [...new Set(all.map(({ name }) => name))].map((name) => {
    const own = all.filter((one) => one.name === name);
    return [name, median(own.map(({ doubt }) => doubt)) / median(own.map(({ error }) => error))];
  });
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1]!;
}
