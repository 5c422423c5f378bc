import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { twoPits } from '../../fixtures/make/two-pits.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import type { SurveyDocument } from '../../src/base/survey-document.js';
import { newFolder } from '../fill/new-folder.js';
import { plateful } from './harness.js';

const { mesh, volumesMm3 } = twoPits(0.6);
const cwd = newFolder({});
writeFileSync(join(cwd, 'pits.stl'), toBinaryStl(mesh));
const surveyed = async (...options: string[]) => {
  const { status, out, err } = await plateful(['survey', 'pits.stl', '--quick', '--json', ...options], { cwd });
  expect([status, err]).toEqual([0, '']);
  return JSON.parse(out) as SurveyDocument;
};

test('survey: joined pits are one cavity, and the finding names the option that parts them', async () => {
  const document = await surveyed();
  expect(document.cavities.length).toBe(1);
  expect(document.findings.find(({ code }) => code === 'pits-joined')?.message).toContain('--split');
});

test('survey --split: each is a cavity of its own, and together they hold what the one held', async () => {
  const document = await surveyed('--split');
  const volumes = document.cavities.map(({ volumeMm3 }) => volumeMm3!);
  expect(volumes.length).toBe(2);
  // the facets, exactly; the cut runs along their sides, within a facet of the narrowest place
  for (const [i, volume] of volumes.entries()) expect(Math.abs(volume - volumesMm3[i]!)).toBeLessThan(0.6 * 4 * 0.5);
  const sum = volumesMm3[0] + volumesMm3[1];
  expect(Math.abs(document.totals.volumeMm3! / sum - 1)).toBeLessThan(1e-4);
  const { out } = await plateful(['survey', 'pits.stl', '--quick', '--split'], { cwd });
  expect(out).toMatch(/parted|split/);
});
