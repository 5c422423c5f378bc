import { describe, expect, it } from 'vitest';
import { genericSilicones } from '../../src/fill/generic-silicones.js';
import { planMix } from '../../src/fill/mix.js';
import { plateFromSurvey } from '../../src/fill/plate-load.js';
import { makeRecipe, neatRecipe, type Recipe } from '../../src/fill/recipe.js';
import type { Additive } from '../../src/fill/shelf/shelf.js';
import { jsonText } from '../../src/sheet/json.js';
import { mixCsv } from '../../src/sheet/mix-csv.js';
import { mixText } from '../../src/sheet/mix-text.js';
import { runSheet } from '../../src/sheet/run-sheet.js';
import { cavity, surveyOf } from './made-survey.js';

const survey = surveyOf([cavity(1, 'brow', 30_000)]);
const soft = neatRecipe(genericSilicones[0]!);
const tin = neatRecipe({ ...genericSilicones[0]!, name: 'tin', cures: 'tin' });
const withAdditive = (additive: Additive): Recipe =>
  makeRecipe({ ...soft, additives: [{ additive, pct: 1, of: 'A+B' }] });
const coloured = withAdditive({ name: 'red', kind: 'pigment', densityGPerMl: 1.4 });
const flocked = withAdditive({ name: 'flock', kind: 'flock', densityGPerMl: 1.5 });
const thinned = withAdditive({ name: 'thinner', kind: 'thinner', densityGPerMl: 0.8, volatile: true });

/** Words of each caution, and where it must and must not stand. */
const everywhere = ['never latex', 'Patch-test the whole stack', 'adhesive and remover', 'Data sheets, local rules'];
const cases: [string, Recipe, 'straight' | 'encapsulated', string[], string[]][] = [
  [
    'straight, neat',
    soft,
    'straight',
    ['check on each sheet'],
    ['respirator', 'metal bin', 'vacuum', 'not breathed', 'cures by tin'],
  ],
  [
    'encapsulated, neat',
    soft,
    'encapsulated',
    [
      'extraction',
      'organic-vapour and particulate respirator',
      'no flame, spark, heater or hairdryer',
      'lidded metal bin',
    ],
    ['vacuum', 'not breathed'],
  ],
  ['straight, tin', tin, 'straight', ['cures by tin: not for skin'], ['respirator']],
  ['straight, coloured', coloured, 'straight', ['Powder and flock are not breathed'], ['metal bin']],
  ['straight, flocked', flocked, 'straight', ['Powder and flock are not breathed'], ['metal bin']],
  [
    'straight, thinned',
    thinned,
    'straight',
    ['Never vacuum a mix with solvent', 'lidded metal bin', 'respirator'],
    ['not breathed'],
  ],
];

const flat = (text: string): string => text.replace(/\s+/g, ' ');

describe.each(cases)('the cautions of a plan: %s', (_, recipe, way, with_, without) => {
  const mix = planMix([plateFromSurvey(survey)], { recipes: [recipe], way });
  const forms: [string, string][] = [
    ['text', flat(mixText(mix))],
    ['US text', flat(mixText(mix, { display: 'us' }))],
    ['JSON', flat(jsonText(mix))],
    ['CSV', flat(mixCsv(mix))],
    ['sheet', flat(runSheet({ surveys: [survey], mix, date: '2026-11-30' }))],
  ];

  it.each(forms)('stand in the %s, each once', (_form, text) => {
    for (const words of [...everywhere, ...with_]) expect(text.split(words), words).toHaveLength(2);
    for (const words of without) expect(mix.cautions.join(' '), words).not.toContain(words);
  });

  it('are never called safe', () => {
    for (const [, text] of forms) expect(text.replace(/[{<][^}>]*[}>]/g, '')).not.toMatch(/\bsafe(ly|ty)?\b/i);
  });
});

describe('a mix with solvent in it', () => {
  it('is a stop under vacuum', () => {
    const { findings } = planMix([plateFromSurvey(survey)], { recipes: [thinned], way: 'straight', degassed: true });
    expect(findings[0]).toMatchObject({ code: 'solvent-under-vacuum', severity: 'stop' });
  });
});
