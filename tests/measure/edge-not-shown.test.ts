import { describe, expect, test } from 'vitest';
import { plateMould } from '../../fixtures/make/plate.js';
import { noisy } from '../../fixtures/make/transform.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { bytesSource } from '../../src/base/source.js';
import type { SurveyDocument } from '../../src/base/survey-document.js';
import { survey } from '../../src/survey.js';

/** 1 mm in from the rim a feather of angle a is 2 tan(a/2) mm thick: 0.035 mm and 0.14 mm. */
const angles = [2, 8] as const;
const plate = plateMould({
  ...{ lengthMm: 88, widthMm: 46, blockMm: 10, meshMm: 0.4, landMeshMm: 0.4 },
  cavities: angles.map((angleDeg, i) => ({
    name: `feather ${angleDeg}`,
    shape: { kind: 'feather', radius: 18, angleDeg, featherMm: 10, floorRadius: 5, depth: 3 } as const,
    x: 22 + 44 * i,
    y: 23,
  })),
});

/** A tear thickness of 1 mm, so that both edges are too thin past their feather allowance of 4.5 mm. */
const edges = { tearNPerMm: 1, pullN: 1, safety: 1 };

async function surveyed(sigmaMm: number): Promise<SurveyDocument> {
  const mesh = noisy(plate.mesh, { sigmaMm, seed: 5, along: [0, 0, 1] });
  return (await survey(bytesSource('feathers.stl', toBinaryStl(mesh)), { edges, unit: 'mm' })).document;
}

/** The sentences on a cavity's rim, by the cavity's angle. */
function aboutRim({ cavities, findings }: SurveyDocument, angle: 0 | 1) {
  const { number } = cavities.toSorted((a, b) => a.centreMm[0] - b.centreMm[0])[angle]!;
  const codes = ['thin-edge', 'thick-rim', 'edge-not-shown'];
  return findings.filter(({ code, cavity }) => cavity === number && codes.includes(code));
}

describe('an edge thinner than three times the noise is not judged', () => {
  test('without noise both edges are too thin', async () => {
    const document = await surveyed(0);
    for (const angle of [0, 1] as const)
      expect(aboutRim(document, angle).map(({ code }) => code)).toEqual(['thin-edge']);
  });

  test('at 0.03 mm of noise the 2 degree edge is not shown and not judged, that of 8 degrees is', async () => {
    const document = await surveyed(0.03);
    expect(document.plate.noiseMm).toBeCloseTo(0.03, 2);
    const [thin, ...others] = aboutRim(document, 0);
    expect(others).toEqual([]);
    expect(thin).toMatchObject({ code: 'edge-not-shown', severity: 'note' });
    expect(thin!.message).toMatch(/^This scan cannot show the edge: 1 mm in from the rim it reads 0\.0[2-5] mm/);
    expect(thin!.message).toMatch(/three times the scan's noise of 0\.03 mm\. The edge is not judged/);
    expect(aboutRim(document, 1).map(({ code }) => code)).toContain('thin-edge');
  });
});
