import { describe, expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import {
  type MadePlate,
  plateMould,
  plateScan,
  sculptClosed,
  sculptOpen,
  sculptShells,
} from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { moved, randomMotion, shuffled } from '../../fixtures/make/transform.js';
import { checksOf } from './record.js';
import { surveyFile } from './surveyed.js';

const agrees = checksOf(import.meta.url, 'One set of twelve cavities in every form');
const plan = analyticPlate();
const forms: [string, 'mould' | 'scan' | 'sculpt', MadePlate][] = [
  ['mould', 'mould', plateMould(plan)],
  ['open scan', 'scan', plateScan(plan)],
  ['sculpt, closed', 'sculpt', sculptClosed(plan)],
  ['sculpt, open', 'sculpt', sculptOpen(plan)],
  ['sculpt, overlapping shells', 'sculpt', sculptShells(plan, 1.5)],
];
const truths = new Map(forms[0]![2].truth.cavities.map((truth) => [truth.name, truth]));

describe('the same shapes as mould, scan and positives hold the same', () => {
  it.each(forms)('%s: form, names, numbers from the top left, volumes', async (_, form, { mesh }) => {
    const document = await surveyFile(shuffled(mesh, mulberry32(4)), 'obj');
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
    const document = await surveyFile(moved(mesh, randomMotion(mulberry32(11), 50)), 'stl');
    expect(document.plate.form).toBe(form);
    const volumes = document.cavities.map((ours) => ours.volumeMm3!).sort((a, b) => a - b);
    const expected = [...truths.values()].map((truth) => truth.volumeMm3).sort((a, b) => a - b);
    expect(volumes.length).toBe(12);
    for (const [i, volume] of volumes.entries()) expect(Math.abs(volume / expected[i]! - 1)).toBeLessThan(1e-4);
  });

  it.each(forms.slice(0, 4))('%s: names from the file', async (_title, _form, { mesh }) => {
    const document = await surveyFile(mesh, 'obj');
    expect(document.cavities.map(({ name }) => name)).toEqual([...truths.keys()]);
  });
});
