import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  loosePieces,
  type MadePlate,
  type PlatePlan,
  plateMould,
  plateScan,
  sculptClosed,
  sculptOpen,
  sculptShells,
} from '../../fixtures/make/plate.js';
import { scaled } from '../../fixtures/make/transform.js';
import { to3mf, toObj } from '../../fixtures/make/write.js';
import type { MixDocument } from '../../src/fill/mix-document.js';
import { plateful } from '../cli/harness.js';
import { checksOf } from '../record.js';

const agrees = checksOf(import.meta.url, 'Units: the same grams once the unit is known, and none before');

const plan: PlatePlan = {
  ...{ lengthMm: 150, widthMm: 100, blockMm: 12, meshMm: 4 },
  cavities: [
    { name: 'brow', shape: { kind: 'frustum', radius: 14, floorRadius: 10, depth: 5 }, x: 40, y: 50 },
    { name: 'chin', shape: { kind: 'cap', radius: 15, depth: 6 }, x: 100, y: 50 },
  ],
};
const forms: [string, MadePlate][] = [
  ['mould', plateMould(plan)],
  ['scan', plateScan(plan)],
  ['closed sculpt', sculptClosed(plan)],
  ['open sculpt', sculptOpen(plan)],
  ['sculpt of shells', sculptShells(plan, 1.5)],
  ['loose pieces', loosePieces(plan)],
];

/** Millimetres in a unit: exact by definition (NIST SP 811, appendix B.8). */
const units = [
  ['in', 25.4, 'inch'],
  ['cm', 10, 'centimeter'],
  ['m', 1000, 'meter'],
  ['um', 0.001, 'micron'],
  ['ft', 304.8, 'foot'],
] as const;

const densityGPerMl = 1.1;
const asked = [
  '--density',
  `${densityGPerMl}`,
  '--ratio',
  '1:1',
  '--ratio-by',
  'weight',
  '--way',
  'straight',
  '--json',
];

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'units-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

function written(name: string, bytes: Uint8Array): string {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return path;
}

async function grams(argv: readonly string[]): Promise<number[]> {
  const { status, out, err } = await plateful(['mix', ...argv, ...asked]);
  expect([status, err]).toEqual([0, expect.not.stringContaining('[')]);
  return (JSON.parse(out) as MixDocument).perCavity.map(({ massG }) => massG!);
}

describe.each(forms)('%s', (form, made) => {
  it.each(units)('in %s: asked for the unit, then the true grams', async (unit, mm, in3mf) => {
    const mesh = scaled(made.mesh, 1 / mm);
    const path = written(`plate-${unit}.obj`, toObj(mesh));
    for (const command of [
      ['survey', path, '--json'],
      ['mix', path, ...asked],
    ]) {
      const { status, out, err } = await plateful(command);
      expect([status, out]).toEqual([2, '']);
      expect(err).toMatch(/\[unit-unknown\]/);
    }
    const stated = await grams([path, '--unit', unit]);
    const known = await grams([written(`plate-${unit}.3mf`, to3mf(mesh, in3mf))]);
    for (const [i, { name, volumeMm3 }] of made.truth.cavities.entries()) {
      const expected = (volumeMm3 * densityGPerMl) / 1000;
      const row = {
        ...{ source: 'the facets, exactly, times 1.1 g/ml', unit: 'g', expected },
        ...{ allowed: 1e-4 * expected, because: 'clean mesh: 1e-4' },
      };
      agrees({ ...row, check: `${name}, ${form} in ${unit}, --unit ${unit}`, ours: stated[i]! });
      agrees({ ...row, check: `${name}, ${form} in ${unit}, 3MF`, ours: known[i]! });
    }
  });
});

describe('lengths that are plausible in another unit', () => {
  it('a plate of 500 mm exported in cm is not surveyed as one of 50 mm', async () => {
    const long = plateMould({ ...plan, lengthMm: 500, widthMm: 300 });
    const path = written('long.obj', toObj(scaled(long.mesh, 0.1)));
    const { status, out, err } = await plateful(['survey', path, '--json']);
    expect([status, out]).toEqual([2, '']);
    expect(err).toContain('cm: 500 x 300 mm');
    expect(err).toMatch(/\[unit-unknown\]/);
  });

  it('loose pieces without a unit are asked for it even where they are as long as a plate', async () => {
    const large = loosePieces({
      ...plan,
      cavities: [{ name: 'back', shape: { kind: 'frustum', radius: 70, floorRadius: 60, depth: 9 }, x: 0, y: 0 }],
    });
    const { status, out, err } = await plateful([
      'survey',
      written('back.obj', toObj(large.mesh)),
      '--form',
      'pieces',
      '--json',
    ]);
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(/\[unit-unknown\]/);
  });
});
