import { describe, expect, it } from 'vitest';
import { featherPlate } from '../../fixtures/make/feather-plate.js';
import { fieldOf, roundedEdges } from '../../fixtures/make/height-field.js';
import { plateMould, plateScan, sculptClosed } from '../../fixtures/make/plate.js';
import { scanOf } from '../../fixtures/make/scan.js';
import { noisy } from '../../fixtures/make/transform.js';
import { pairs, surveyFile } from '../outside/surveyed.js';

const plan = featherPlate(0.5);
const dam = { widthMm: 4, heightMm: 8 };
const bosses = [{ x: 70, y: 41, radius: 4, heightMm: 6 }];
const allowed = (volumeMm3: number, clean: boolean) => (clean ? 1e-4 * volumeMm3 : Math.max(0.006 * volumeMm3, 0.5));

describe('what stands round and on the land is left out, and said', () => {
  it.each([
    ['a block', 'mould', plateMould(plan), 'its sides and back'],
    ['a block with a dam wall', 'mould', plateMould({ ...plan, dam }), 'its sides and back and the wall round it'],
    ['a scan with a dam wall', 'scan', plateScan({ ...plan, dam }), 'the wall round it'],
    ['a scan with a handle', 'scan', plateScan({ ...plan, bosses }), 'what stands on the land'],
    [
      'a block with both',
      'mould',
      plateMould({ ...plan, dam, bosses }),
      'its sides and back, what stands on the land and the wall round it',
    ],
    ['positives', 'sculpt', sculptClosed(plan), 'its sides and back'],
  ] as const)('%s', async (_, form, made, said) => {
    for (const sigmaMm of said.includes('wall') && form === 'mould' ? [0, 0.03] : [0]) {
      const mesh = sigmaMm === 0 ? made.mesh : noisy(made.mesh, { sigmaMm, seed: 1, along: [0, 0, 1] });
      const document = await surveyFile(mesh, 'stl', { quick: true });
      expect(document.plate.form).toBe(form);
      expect(document.plate.formReason!.endsWith(`; left out: ${said}`), document.plate.formReason).toBe(true);
      const volumes = document.cavities.map(({ volumeMm3 }) => volumeMm3!).sort((a, b) => a - b);
      const truths = made.truth.cavities.map(({ volumeMm3 }) => volumeMm3).sort((a, b) => a - b);
      expect(volumes.length).toBe(truths.length);
      for (const [i, truth] of truths.entries())
        expect(Math.abs(volumes[i]! - truth)).toBeLessThan(allowed(truth, sigmaMm === 0));
    }
  });

  it('a scan with a ragged border, a handle, and the table under it', async () => {
    const made = plateScan({ ...plan, bosses });
    const field = roundedEdges(fieldOf(made.mesh, 0.2, 20, -plan.blockMm), 0.3);
    const viewpoints = [
      [-40, -40, 250],
      [160, -40, 250],
      [60, 140, 250],
    ] as const;
    const options = { spacingMm: 0.4, seed: 1, viewpoints, noiseMm: 0.03, longestMm: 9, raggedMm: 2 };
    const document = await surveyFile(scanOf(field, options).mesh, 'stl', { quick: true });
    expect(document.plate.formReason).toContain('left out: what stands on the land and what it lies on');
    // the rims are rounded: their share of a volume is under 1 %, or 0.5 mm³
    for (const { truth, ours } of pairs(document, made, undefined, 4))
      expect(Math.abs(ours.volumeMm3! - truth.volumeMm3)).toBeLessThan(Math.max(0.01 * truth.volumeMm3, 0.5));
  });
});
