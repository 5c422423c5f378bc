import { describe, expect, it } from 'vitest';
import { featherPlate } from '../../fixtures/make/feather-plate.js';
import { plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { seaGhost } from '../../fixtures/make/sea-ghost.js';
import { moved, noisy, randomMotion, shuffled } from '../../fixtures/make/transform.js';
import { twoPits } from '../../fixtures/make/two-pits.js';
import { surveyFile } from '../outside/surveyed.js';

describe('two pits joined by a channel 0.6 mm deep', () => {
  const { mesh, volumesMm3 } = twoPits(0.6);

  it('are one cavity, and a finding names both pits and the channel', async () => {
    const document = await surveyFile(mesh, 'obj');
    expect(document.cavities.map(({ number }) => number)).toEqual([1]);
    const total = volumesMm3[0] + volumesMm3[1];
    expect(Math.abs(document.cavities[0]!.volumeMm3! / total - 1)).toBeLessThan(1e-4);
    const found = document.findings.find(({ code }) => code === 'pits-joined')!;
    expect(found.severity).toBe('caution');
    expect(Math.abs(found.atMm![0] - 60)).toBeLessThanOrEqual(1);
    expect(Math.abs(found.atMm![2] + 0.6)).toBeLessThan(0.05);
    expect(found.message).toMatch(/two pits, at [48]0, 40 mm and at [48]0, 40 mm, joined by a channel 0\.6 mm deep/);
  });

  it('with --split are parted at x = 60, the narrowest place', async () => {
    const document = await surveyFile(mesh, 'obj', { split: true });
    expect(document.cavities.length).toBe(2);
    // A row of cells, 0.5 mm, of the channel of 4 mm by 0.6 mm may go either way.
    for (const [i, { volumeMm3, volumeCheckMm3 }] of document.cavities.entries()) {
      expect(Math.abs(volumeMm3! - volumesMm3[i]!)).toBeLessThan(0.5 * 4 * 0.6);
      expect(Math.abs(volumeCheckMm3! / volumeMm3! - 1)).toBeLessThan(0.005);
    }
    const total = volumesMm3[0] + volumesMm3[1];
    expect(Math.abs(document.totals.volumeMm3! / total - 1)).toBeLessThan(1e-4);
    expect(document.findings.map(({ code }) => code)).toContain('pits-parted');
  });

  it('under noise of 0.05 mm, turned (seed 7): the same', async () => {
    const worn = noisy(mesh, { sigmaMm: 0.05, seed: 7, along: [0, 0, 1] });
    const placed = shuffled(moved(worn, randomMotion(mulberry32(7), 40)), mulberry32(7));
    expect((await surveyFile(placed, 'stl')).findings.map(({ code }) => code)).toContain('pits-joined');
    const document = await surveyFile(placed, 'stl', { split: true });
    const volumes = document.cavities.map(({ volumeMm3 }) => volumeMm3!).sort((a, b) => b - a);
    expect(volumes.length).toBe(2);
    for (const [i, volume] of volumes.entries()) expect(Math.abs(volume - volumesMm3[i]!)).toBeLessThan(5);
  });
});

describe('what is no channel', () => {
  it.each([
    ['pits as deep as their joint', () => twoPits(2.9, 4).mesh],
    ['a channel shallower than the limit', () => twoPits(0.06).mesh],
    ['feathers and plain shapes', () => plateMould(featherPlate(1)).mesh],
    ['sculpted relief', () => plateMould(seaGhost()).mesh],
  ])('%s', async (_, make) => {
    const document = await surveyFile(make(), 'stl');
    expect(document.findings.map(({ code }) => code)).not.toContain('pits-joined');
  });
});
