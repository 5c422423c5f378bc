import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { EdgeSettings } from '../../src/measure/edge-settings.js';
import { sampleResult } from '../sheet/sample-survey.js';
import { plateful } from './harness.js';

const shelf = `silicones:
  - name: soft
    cures: platinum
    ratio: 1:1
    ratio-by: weight
    density: 1.07 g/ml
    tear: 3.5 N/mm
    tear-method: ISO 34-1 method B
    elongation: 800 %
softeners:
  - name: softener
    density: 0.97 g/ml
recipes:
  - name: softened
    silicone: soft
    add: [{what: softener, share: 20 %, of: A+B}]
`;

/** What the edges of a survey are judged by, given its options. */
async function judgedBy(...options: string[]): Promise<EdgeSettings> {
  const cwd = mkdtempSync(join(tmpdir(), 'plateful-'));
  writeFileSync(join(cwd, 'shelf.yaml'), shelf);
  writeFileSync(join(cwd, 'plate.stl'), 'a plate');
  let edges: EdgeSettings | null | undefined;
  const { status, err } = await plateful(['survey', 'plate.stl', ...options], {
    cwd,
    survey: async (_, given) => {
      edges = given.edges;
      return sampleResult();
    },
  });
  expect(err).toBe('');
  expect(status).toBe(0);
  return edges!;
}

test('tear strength and elongation come from the material; what is given by hand goes before them', async () => {
  expect(await judgedBy()).toEqual({});
  const named = ['--shelf', 'shelf.yaml', '--material', 'soft'];
  expect(await judgedBy(...named)).toEqual({ tearNPerMm: 3.5, elongationPct: 800 });
  expect(await judgedBy(...named, '--tear', '2', '--pull', '1')).toEqual({
    tearNPerMm: 2,
    pullN: 1,
    elongationPct: 800,
  });
});

test('a softened mix is weaker than its data sheet says: its figures are not used', async () => {
  expect(await judgedBy('--shelf', 'shelf.yaml', '--material', 'softened')).toEqual({});
});
