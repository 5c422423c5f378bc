import { describe, expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { bent } from '../../fixtures/make/bend.js';
import { featherPlate } from '../../fixtures/make/feather-plate.js';
import { bridgedCreases, fieldOf, fieldTruth, roundedEdges } from '../../fixtures/make/height-field.js';
import { signedVolume } from '../../fixtures/make/measure.js';
import { loosePieces, type PlatePlan, plateScan } from '../../fixtures/make/plate.js';
import { type ScanOptions, scanOf } from '../../fixtures/make/scan.js';
import { checksOf } from './record.js';
import { pairs, surveyFile } from './surveyed.js';

const agrees = checksOf(import.meta.url, 'Simulated scans');

/** A plate whose rims have a radius of 0.3 mm and whose creases are bridged alike, and what that holds. */
function worn(plan: PlatePlan, marginMm = 0) {
  const made = plateScan(plan);
  const field = bridgedCreases(roundedEdges(fieldOf(made.mesh, 0.1, marginMm, -plan.blockMm), 0.3), 0.3);
  return { made, field, truths: fieldTruth(field, made) };
}

const viewpoints = [
  [-40, -40, 250],
  [160, -40, 250],
  [60, 140, 250],
] as const;

/** Surveys a scan of a worn plate and holds every volume; allowed is a share, or mm³ where that is larger. */
async function holds(
  title: string,
  { made, field, truths }: ReturnType<typeof worn>,
  options: ScanOptions,
  share: number,
  mm3: number,
) {
  const document = await surveyFile(scanOf(field, options).mesh, 'stl');
  expect(document.plate.form).toBe('scan');
  for (const [i, { ours }] of pairs(document, made, undefined, 4).entries()) {
    const { name, volumeMm3 } = truths[i]!;
    agrees({
      ...{
        check: `${name}: ${title}, seed ${options.seed}`,
        source: 'sums over the surface that was scanned',
        unit: 'mm³',
      },
      ...{ expected: volumeMm3, ours: ours.volumeMm3!, allowed: Math.max(share * volumeMm3, mm3) },
      because: `${100 * share} % or ${mm3} mm³`,
    });
  }
}

describe('scans with occlusion, noise along the ray, rounded rims and bridged creases', () => {
  const feathers = worn(featherPlate(0.5));

  it('0.3 mm spacing, no noise', async () => {
    await holds('0.3 mm spacing', feathers, { spacingMm: 0.3, seed: 1, viewpoints }, 0.001, 0.1);
  });

  it('0.25 mm spacing, noise 0.05 mm, ragged border', async () => {
    const options = { spacingMm: 0.25, seed: 3, viewpoints, noiseMm: 0.05, raggedMm: 2 };
    await holds('0.25 mm spacing, noise 0.05 mm, ragged border', feathers, options, 0.006, 0.5);
  });
});

describe('bent plates, and a plate on a table', () => {
  it('the table 14 mm under the land is left out', async () => {
    const options = { spacingMm: 0.3, seed: 1, viewpoints, noiseMm: 0.03, longestMm: 9 };
    await holds('with the table', worn(featherPlate(0.5), 20), options, 0.006, 0.5);
  });

  it.each([
    ['along', 0.6, 0],
    ['along and across', 0.6, 0.6],
    ['along, hollow', -0.6, 0],
  ])('bent by 0.6 mm over 160 mm %s: within 0.5 % of the flat plate', async (title, alongMm, acrossMm) => {
    const plan = featherPlate(0.5);
    const bend = (mesh: Parameters<typeof bent>[0]) => {
      const once = bent(mesh, 'x', alongMm, 160, plan.lengthMm / 2);
      return acrossMm === 0 ? once : bent(once, 'y', acrossMm, 160, plan.widthMm / 2);
    };
    const made = plateScan(plan);
    const document = await surveyFile(bend(made.mesh), 'obj');
    expect(document.plate.scrapeSurface).toBe('bowed');
    for (const { truth, ours } of pairs(document, made, undefined, 4)) {
      const piece = loosePieces({ ...plan, cavities: plan.cavities.filter(({ name }) => name === truth.name) }).mesh;
      const { positions, triangles } = bend(piece);
      // what a true bend itself does to the volume is far under the half per cent
      expect(Math.abs(signedVolume(positions, triangles) / truth.volumeMm3 - 1)).toBeLessThan(1e-3);
      agrees({
        ...{ check: `${truth.name}: bent ${title}`, source: 'the facets of the flat plate, exactly', unit: 'mm³' },
        ...{ expected: truth.volumeMm3, ours: ours.volumeMm3!, allowed: 0.005 * truth.volumeMm3 },
        because: '0.5 %',
      });
    }
  });
});

describe.skip('scans that the survey does not hold yet', () => {
  it('0.4 mm spacing, noise of 0.1 mm alike over 1 mm: worst 3 %', async () => {
    // no T-slot and no bulb: a scan from above does not show what hangs over
    const plan = analyticPlate();
    const shapes = worn({ ...plan, cavities: plan.cavities.slice(0, 10) });
    await holds('alike over 1 mm', shapes, { spacingMm: 0.4, seed: 4, viewpoints, correlatedMm: 0.1 }, 0.03, 0);
  });

  it('twenty holes of 1 mm radius: 0.5 % or 0.7 mm³ a hole on a rim', async () => {
    const options = { spacingMm: 0.25, seed: 1, viewpoints, noiseMm: 0.03, dropouts: { count: 20, radiusMm: 1 } };
    await holds('twenty holes', worn(featherPlate(0.5)), options, 0.005, 2.1);
  });
});
