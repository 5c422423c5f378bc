import { describe, expect, test } from 'vitest';
import { plateMould } from '../../fixtures/make/plate.js';
import { noisy } from '../../fixtures/make/transform.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { bytesSource } from '../../src/base/source.js';
import { survey } from '../../src/survey.js';

const angles = [2, 3, 5] as const;
const tearMm = 0.3;

/** Three feathers of 11 mm all round, on a mesh of 0.25 mm. */
const plate = plateMould({
  lengthMm: 130,
  widthMm: 48,
  blockMm: 10,
  meshMm: 0.25,
  landMeshMm: 0.25,
  cavities: angles.map((angleDeg, i) => ({
    name: `feather ${angleDeg}`,
    shape: { kind: 'feather', radius: 18, angleDeg, featherMm: 11, floorRadius: 5, depth: 3 } as const,
    x: 22 + 42 * i,
    y: 24,
  })),
});

/** Pull over tear strength is the tear thickness. */
const edges = { tearNPerMm: 1, pullN: tearMm, safety: 1 };

describe('feathers of 2, 3 and 5 degrees through the whole survey', () => {
  test.each([
    ['without noise', 0, 0, 0.15],
    ['noise of 0.02 mm along z, seed 1', 0.02, 1, 0.4],
    ['noise of 0.02 mm to all sides, seed 2', 0.02, 2, 0.4],
  ] as const)('%s: reach t / (2 tan(a/2)), angle within 0.3 degrees', async (_, sigmaMm, seed, withinMm) => {
    const along = seed === 1 ? ([0, 0, 1] as const) : undefined;
    const mesh = sigmaMm === 0 ? plate.mesh : noisy(plate.mesh, { sigmaMm, seed, ...(along && { along }) });
    const { document } = await survey(bytesSource('feathers.stl', toBinaryStl(mesh)), { edges });
    expect(document.cavities).toHaveLength(3);
    const byAngle = document.cavities.toSorted((a, b) => a.thickness!.edgeAngleDeg! - b.thickness!.edgeAngleDeg!);
    byAngle.forEach(({ thickness, thinZones }, i) => {
      const half = (angles[i]! * Math.PI) / 360;
      expect(Math.abs(thickness!.edgeAngleDeg! - angles[i]!)).toBeLessThan(0.3);
      expect(thinZones).toHaveLength(1);
      expect(Math.abs(thinZones![0]!.reachMm - tearMm / (2 * Math.tan(half)))).toBeLessThan(withinMm);
      expect(Math.abs(thinZones![0]!.rimSpanMm / (36 * Math.PI) - 1)).toBeLessThan(0.02);
      // Under noise within 5 %, from where the edge is thicker than the noise.
      for (const { inMm, medianMm } of thickness!.taper!) {
        const expected = 2 * inMm * Math.tan(half);
        if (expected > 2 * sigmaMm) expect(Math.abs(medianMm / expected - 1)).toBeLessThan(sigmaMm === 0 ? 0.01 : 0.05);
      }
    });
  });
});
