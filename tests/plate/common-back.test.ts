import { expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { loosePieces } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { moved, noisy, randomMotion } from '../../fixtures/make/transform.js';
import { surveyFile } from '../outside/surveyed.js';

const made = loosePieces(analyticPlate());
const truths = made.truth.cavities.map(({ volumeMm3 }) => volumeMm3).sort((a, b) => a - b);

/** Every second piece raised by some millimetres. */
function stepped(byMm: number) {
  const positions = made.mesh.positions.slice();
  const { triangles, objectOf } = made.mesh;
  const raised = new Set(Array.from(triangles, (v, i) => (objectOf![Math.floor(i / 3)]! % 2 === 0 ? v : -1)));
  for (const v of raised) if (v >= 0) positions[3 * v + 2]! += byMm;
  return { ...made.mesh, positions };
}

it.each([0, 0.01, 0.03, 0.5])('backs in two planes %d mm apart: every volume by its own back', async (byMm) => {
  const document = await surveyFile(moved(stepped(byMm), randomMotion(mulberry32(3), 50)), 'stl', { unit: 'mm' });
  const volumes = document.cavities.map(({ volumeMm3 }) => volumeMm3!).sort((a, b) => a - b);
  expect(volumes.length).toBe(truths.length);
  // the facets, exactly; coordinates in float32: 1e-4
  for (const [i, truth] of truths.entries()) expect(Math.abs(volumes[i]! / truth - 1)).toBeLessThan(1e-4);
});

it('backs in one plane get one frame, under noise too (seed 3)', async () => {
  // backs with points of their own, as a scan has them
  const scanned = loosePieces(analyticPlate({ landMeshMm: 0.8 })).mesh;
  const mesh = moved(noisy(scanned, { sigmaMm: 0.02, seed: 3, along: 'normal' }), randomMotion(mulberry32(3), 50));
  const document = await surveyFile(mesh, 'stl', { unit: 'mm', quick: true });
  expect(new Set(document.cavities.map(({ toPiece }) => JSON.stringify(toPiece))).size).toBe(1);
});

it.each([0.001, 0.01])(
  'turned pieces with coordinates rounded to %d mm, backs without points: all are found',
  async (step) => {
    const { positions, ...rest } = moved(made.mesh, randomMotion(mulberry32(3), 50));
    const rounded = { ...rest, positions: positions.map((value) => Math.round(value / step) * step) };
    const document = await surveyFile(rounded, 'obj', { unit: 'mm', quick: true });
    const volumes = document.cavities.map(({ volumeMm3 }) => volumeMm3!).sort((a, b) => a - b);
    expect(volumes.length).toBe(truths.length);
    // rounding is noise far under 0.05 mm, whose law this is
    for (const [i, truth] of truths.entries())
      expect(Math.abs(volumes[i]! - truth)).toBeLessThan(Math.max(0.006 * truth, 0.5));
  },
);
