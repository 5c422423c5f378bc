import { describe, expect, it } from 'vitest';
import { featherPlate } from '../../fixtures/make/feather-plate.js';
import { plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { seaGhost } from '../../fixtures/make/sea-ghost.js';
import { moved, noisy, randomMotion, shuffled } from '../../fixtures/make/transform.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { surveyFile } from '../outside/surveyed.js';

const [lengthMm, widthMm, stepMm] = [120, 80, 0.5] as const;

/** Two round pits 40 mm apart and a channel between them that is narrowest and shallowest halfway, at x = 60. */
function depthAt(x: number, y: number, channelMm: number, halfMm: number): number {
  const pit = (px: number, radius: number, depth: number) =>
    Math.max(0, Math.min(depth, radius - Math.hypot(x - px, y - 40)));
  const off = Math.abs(x - 60) / 20;
  const channel = off > 1 ? 0 : Math.max(0, Math.min(channelMm + 0.2 * off, halfMm + 2 * off - Math.abs(y - 40)));
  return Math.max(pit(40, 12, 4), pit(80, 9, 3), channel);
}

/** The face of that plate as a net of squares cut in two, and what each side of x = 60 holds: sums over the facets. */
function twoPits(channelMm: number, halfMm = 2): { mesh: TriangleMesh; volumesMm3: [left: number, right: number] } {
  const [columns, rows] = [lengthMm / stepMm + 1, widthMm / stepMm + 1];
  const positions = new Float64Array(3 * columns * rows);
  for (let i = 0; i < columns * rows; i++) {
    const [x, y] = [(i % columns) * stepMm, Math.floor(i / columns) * stepMm];
    positions.set([x, y, -depthAt(x, y, channelMm, halfMm)], 3 * i);
  }
  const triangles: number[] = [];
  const volumesMm3: [number, number] = [0, 0];
  for (let j = 0; j + 1 < rows; j++) {
    for (let i = 0; i + 1 < columns; i++) {
      const a = j * columns + i;
      for (const [p, q, r] of [
        [a, a + 1, a + columns],
        [a + 1, a + columns + 1, a + columns],
      ] as const) {
        triangles.push(p, q, r);
        const depth = -(positions[3 * p + 2]! + positions[3 * q + 2]! + positions[3 * r + 2]!) / 3;
        volumesMm3[i * stepMm < 60 ? 0 : 1] += (depth * stepMm ** 2) / 2;
      }
    }
  }
  return { mesh: { positions, triangles: Uint32Array.from(triangles) }, volumesMm3 };
}

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
