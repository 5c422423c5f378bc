import { describe, expect, test } from 'vitest';
import { noisy } from '../../fixtures/make/transform.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { bytesSource } from '../../src/base/source.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { survey } from '../../src/survey.js';
import { type RandomPiece, randomPieces } from './random-pieces.js';

/** What a person sees of each piece is what was put there, and nothing else. */
async function hold(mesh: TriangleMesh, pieces: readonly RandomPiece[], withinMm: number): Promise<void> {
  const edges = { tearNPerMm: 1, pullN: 0.3 };
  const { document } = await survey(bytesSource('pieces.stl', toBinaryStl(mesh)), { edges });
  for (const { seed, x, y, spotMm } of pieces) {
    const cavity = document.cavities.find(({ centreMm }) => Math.hypot(centreMm[0] - x, centreMm[1] - y) < 3)!;
    const found = document.findings.filter((finding) => finding.cavity === cavity.number);
    const codes = found.map(({ code }) => code).filter((code) => code !== 'lift-start');
    const what = `seed ${seed}: ${JSON.stringify(found)}`;
    expect(codes, what).toEqual(spotMm === null ? [] : ['thin-inside']);
    const inner = cavity.thinZones!.filter((zone) => zone.inner);
    expect(inner.length, what).toBe(spotMm === null ? 0 : 1);
    if (spotMm === null) continue;
    expect(Math.hypot(inner[0]!.atMm[0] - x, inner[0]!.atMm[1] - y), what).toBeLessThan(0.9);
    expect(Math.abs(inner[0]!.minMm - spotMm), what).toBeLessThan(withinMm);
    // The flat of the peak, and as much of its flank as is under 0.3 mm.
    expect(inner[0]!.areaMm2, what).toBeGreaterThan(0.5);
    expect(inner[0]!.areaMm2, what).toBeLessThan(1.2);
  }
}

describe('50 random pieces through the survey: thin spots of 1 mm across, nothing false, nothing missed', () => {
  test.each(Array.from({ length: 10 }, (_, k) => [5 * k, 5 * k + 4]))('seeds %d to %d', async (first) => {
    const { mesh, pieces } = randomPieces(first, 0.8, 9);
    await hold(mesh, pieces, 0.01);
  });

  // A peak that comes nearer to the scrape surface than 0.15 mm cannot be told from an island under noise.
  test('seeds 50 to 54 with noise of 0.02 mm to all sides', async () => {
    const { mesh, pieces } = randomPieces(50, 0.3, 0.4, 0.18);
    await hold(noisy(mesh, { sigmaMm: 0.02, seed: 50 }), pieces, 0.06);
  });
});
