import { describe, expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
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
import { mulberry32 } from '../../fixtures/make/random.js';
import { moved, noisy, randomMotion, shuffled } from '../../fixtures/make/transform.js';
import { checksOf } from '../record.js';
import { type Format, surveyFile } from './surveyed.js';

const agrees = checksOf(import.meta.url, 'One set of twelve cavities in every form');
const plan = analyticPlate();
const makers: [string, 'mould' | 'scan' | 'sculpt' | 'pieces', (plan: PlatePlan) => MadePlate][] = [
  ['mould', 'mould', plateMould],
  ['open scan', 'scan', plateScan],
  ['sculpt, closed', 'sculpt', sculptClosed],
  ['sculpt, open', 'sculpt', sculptOpen],
  ['sculpt, overlapping shells', 'sculpt', (all) => sculptShells(all, 1.5)],
  ['pieces', 'pieces', loosePieces],
];
const forms = makers.map(([title, form, make]) => [title, form, make(plan)] as const);
const truths = new Map(forms[0]![2].truth.cavities.map((truth) => [truth.name, truth]));
/** Loose pieces have no land whose length could tell the unit. */
const unit = { unit: 'mm' } as const;

describe('the same shapes as mould, scan, positives and pieces hold the same', () => {
  it.each(forms)('%s: form, names, numbers from the top left, volumes', async (_, form, { mesh }) => {
    const document = await surveyFile(shuffled(mesh, mulberry32(4)), 'obj', unit);
    expect(document.plate.form).toBe(form);
    // rows from the top, left to right: as they were laid out
    expect(document.cavities.map(({ number }) => number)).toEqual([...truths.keys()].map((_, i) => i + 1));
    const volumes = document.cavities.map((ours) => ours.volumeMm3!);
    for (const [i, truth] of [...truths.values()].entries()) {
      agrees({
        ...{ check: truth.name, source: 'the facets, exactly', unit: 'mm³' },
        ...{ expected: truth.volumeMm3, ours: volumes[i]!, allowed: 1e-4 * truth.volumeMm3 },
        because: 'clean mesh: 1e-4',
      });
      expect(Math.abs(document.cavities[i]!.volumeCheckMm3! / truth.volumeMm3 - 1)).toBeLessThan(1e-4);
    }
  });

  it.each(forms)('%s, turned (seed 11): volumes', async (_, form, { mesh }) => {
    const document = await surveyFile(moved(mesh, randomMotion(mulberry32(11), 50)), 'stl', unit);
    expect(document.plate.form).toBe(form);
    const volumes = document.cavities.map((ours) => ours.volumeMm3!).sort((a, b) => a - b);
    const expected = [...truths.values()].map((truth) => truth.volumeMm3).sort((a, b) => a - b);
    expect(volumes.length).toBe(12);
    for (const [i, volume] of volumes.entries()) expect(Math.abs(volume / expected[i]! - 1)).toBeLessThan(1e-4);
  });

  it.each(forms)(
    '%s: names and numbers from OBJ and 3MF, the same volumes from every format',
    async (_, form, made) => {
      for (const format of ['obj', '3mf', 'stl', 'ply'] satisfies Format[]) {
        const document = await surveyFile(made.mesh, format, { ...unit, quick: true });
        expect(document.plate.form).toBe(form);
        const named = format === 'obj' || format === '3mf';
        const names = named ? [...truths.keys()] : [...truths.keys()].map((_, i) => `cavity-${i + 1}`);
        expect(document.cavities.map(({ name }) => name)).toEqual(names);
        for (const [i, truth] of [...truths.values()].entries())
          expect(Math.abs(document.cavities[i]!.volumeMm3! / truth.volumeMm3 - 1)).toBeLessThan(1e-4);
      }
    },
  );
});

describe('noise of 0.05 mm across the plate, 0.5 mm mesh, on every form', () => {
  // shapes that hang over fold under noise across the plate at any spacing, and no scanner sees them from above
  const open = { ...plan, meshMm: 0.5, landMeshMm: 0.5, cavities: plan.cavities.slice(0, 10) };

  it.each(makers)(
    '%s (seed 2): every cavity, no phantom, volumes within 0.6 % or 0.5 mm³',
    async (title, form, make) => {
      const made = make(open);
      const mesh = noisy(made.mesh, { sigmaMm: 0.05, seed: 2, along: [0, 0, 1] });
      const document = await surveyFile(moved(mesh, randomMotion(mulberry32(2), 50)), 'stl', unit);
      expect(document.plate.form).toBe(form);
      expect(document.plate.noiseMm).toBeCloseTo(0.05, 2);
      const volumes = document.cavities.map((ours) => ours.volumeMm3!).sort((a, b) => a - b);
      const expected = [...made.truth.cavities].sort((a, b) => a.volumeMm3 - b.volumeMm3);
      expect(volumes.length).toBe(expected.length);
      for (const [i, { name, volumeMm3 }] of expected.entries()) {
        agrees({
          ...{ check: `${name}: noise 0.05 mm, ${title}`, source: 'the noise-free facets, exactly', unit: 'mm³' },
          ...{ expected: volumeMm3, ours: volumes[i]!, allowed: Math.max(0.006 * volumeMm3, 0.5) },
          because: '0.6 % or 0.5 mm³',
        });
      }
    },
  );
});
