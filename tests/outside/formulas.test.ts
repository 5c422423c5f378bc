import { describe, expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { loopArea, loopLength } from '../../fixtures/make/measure.js';
import { plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { type Matrix, motion, moved, randomMotion, shuffled } from '../../fixtures/make/transform.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { checksOf, lessFacets } from '../record.js';
import { type Format, float32Step, pairs, surveyFile } from './surveyed.js';

const agrees = checksOf(import.meta.url, 'Published formulas');
const made = plateMould(analyticPlate());

/** The plate as it lies, on its face, on edge, and in six random orientations up to 100 mm from the origin. */
const runs: [string, Format, Matrix | undefined][] = [
  ['as made, OBJ', 'obj', undefined],
  ['as made, STL', 'stl', undefined],
  ['face down, STL', 'stl', motion([1, 0, 0], 180)],
  ['on edge, OBJ', 'obj', motion([0, 1, 0], 90)],
  ...[1, 2, 3, 4].map((seed): [string, Format, Matrix] => [
    `seed ${seed}, STL`,
    'stl',
    randomMotion(mulberry32(seed), 100),
  ]),
  ...[5, 6].map((seed): [string, Format, Matrix] => [`seed ${seed}, OBJ`, 'obj', randomMotion(mulberry32(seed), 100)]),
  ['seed 7, ASCII STL', 'ascii', randomMotion(mulberry32(7), 100)],
];

/**
 * Land within `b` of the rims of a lone cavity: outside a convex outer loop by Steiner's formula; inside the island of a
 * regular polygon what is left of it when its inradius shrinks by `b`.
 */
function flashBand(rimLoops: readonly Float64Array[], b: number): number {
  return rimLoops.reduce((sum, loop) => {
    const area = loopArea(loop);
    const length = loopLength(loop);
    const inradius = (2 * Math.abs(area)) / length;
    return sum + (area > 0 ? length * b + Math.PI * b * b : -area * (1 - (1 - b / inradius) ** 2));
  }, 0);
}

const figure = 'coordinates: 1e-5, or 4 of their last places over the mean depth';

describe('twelve cavities whose volumes have a formula, surveyed from shuffled files', () => {
  it.each(runs)('%s', async (_, format, motionOf) => {
    const mesh: TriangleMesh = shuffled(
      motionOf === undefined ? made.mesh : moved(made.mesh, motionOf),
      mulberry32(99),
    );
    const document = await surveyFile(mesh, format);
    expect(document.plate.form).toBe('mould');
    expect(document.plate.lengthMm).toBeCloseTo(180, 3);
    expect(document.plate.widthMm).toBeCloseTo(140, 3);
    const step = format === 'stl' ? float32Step(mesh) : 0;
    for (const { truth, ours } of pairs(document, made, motionOf)) {
      const smooth = truth.analytic!;
      const facets = truth.volumeMm3 - smooth.volumeMm3;
      const allowed = Math.max(1e-5 * truth.volumeMm3, 4 * step * truth.openingAreaMm2);
      const volume = { source: `${smooth.formula} (${smooth.source})`, unit: 'mm³', expected: smooth.volumeMm3 };
      // the facets' own error is computed from the facets and taken off: what is left is ours
      agrees({
        ...volume,
        check: `${truth.name}, integral${lessFacets(facets, smooth.volumeMm3)}`,
        ours: ours.volumeMm3! - facets,
        allowed,
        because: figure,
      });
      agrees({
        ...volume,
        check: `${truth.name}, fill body${lessFacets(facets, smooth.volumeMm3)}`,
        ours: ours.volumeCheckMm3! - facets,
        allowed,
        because: figure,
      });
      expect(Math.abs(ours.openingAreaMm2! / truth.openingAreaMm2 - 1)).toBeLessThan(1e-4);
      expect(Math.abs(ours.rimLengthMm! / truth.rimLengthMm - 1)).toBeLessThan(1e-4);
      expect(Math.abs(ours.wallAreaMm2! / truth.wallAreaMm2 - 1)).toBeLessThan(1e-4);
      expect(Math.abs(ours.depthMm! / truth.depthMm - 1)).toBeLessThan(1e-4);
      const band = flashBand(truth.rimLoops, 3);
      agrees({
        ...{ check: `${truth.name}, flash band of 3 mm`, unit: 'mm²', expected: band, ours: ours.flashAreaMm2! },
        source:
          "Steiner's formula for the parallel body of a convex polygon, P b + pi b²; on an island what its shrunken polygon leaves",
        ...{ allowed: 0.01 * band, because: 'round joins are drawn with chords: 1 %' },
      });
    }
  });
});
