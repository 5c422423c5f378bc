import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
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
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

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

const shelf = `
silicones:
  - {name: soft, cures: platinum, ratio: 1:1, ratio-by: weight, density: 1.07 g/ml, pot-life: 45 min at 23 C, cure-time: 5 h}
  - {name: tin, cures: tin, ratio: 1:1, ratio-by: weight, density: 1.07 g/ml, pot-life: 45 min at 23 C, cure-time: 5 h}
thinners: [{name: thinner, density: 0.8 g/ml}]
pigments: [{name: red, density: 1.4 g/ml}]
flocks: [{name: flock, density: 1.5 g/ml}]
recipes:
  - {name: coloured, silicone: soft, add: [{what: red, share: 1 %, of: A+B}]}
  - {name: flocked, silicone: soft, add: [{what: flock, share: 1 %, of: A+B}]}
  - {name: thinned, silicone: soft, add: [{what: thinner, share: 1 %, of: A+B}]}
`;
const gloves = 'never latex';
const first = 'Data sheets, local rules and licensed practice';
const powder = 'Powder and flock are not breathed';
const patch = 'Patch-test the whole stack';
const spray = ['respirator; no flame, spark, heater or hairdryer', 'lidded metal bin'];
const noVacuum = 'Never vacuum a mix with solvent';
const check = 'check on each sheet how the material cures';
const tinIs = 'cures by tin: not for skin';
const every = [gloves, first, powder, patch, ...spray, noVacuum, check, tinIs];

/** Which cautions a plan shows, and which of them are about the scale, by material and way of casting. */
const held: [material: string, way: string, plan: string[], scale: string[]][] = [
  ['soft', 'straight', [gloves, check, patch, first], [gloves, first]],
  ['soft', 'encapsulated', [gloves, check, ...spray, patch, first], [gloves, first]],
  ['tin', 'straight', [gloves, tinIs, patch, first], [gloves, tinIs, first]],
  ['tin', 'encapsulated', [gloves, tinIs, ...spray, patch, first], [gloves, tinIs, first]],
  ['coloured', 'straight', [gloves, check, powder, patch, first], [gloves, powder, first]],
  ['coloured', 'encapsulated', [gloves, check, ...spray, powder, patch, first], [gloves, powder, first]],
  ['flocked', 'straight', [gloves, check, powder, patch, first], [gloves, powder, first]],
  ['flocked', 'encapsulated', [gloves, check, ...spray, powder, patch, first], [gloves, powder, first]],
  ['thinned', 'straight', [gloves, check, ...spray, noVacuum, patch, first], [gloves, ...spray, noVacuum, first]],
  ['thinned', 'encapsulated', [gloves, check, ...spray, noVacuum, patch, first], [gloves, ...spray, noVacuum, first]],
];

describe('the cautions in every form of output', () => {
  it.each(held)('%s, %s', async (material, way, inPlan, atScale) => {
    const plan = (rest: string) => `shelf: shelf.yaml
way: ${way}
material: ${material}
plates: [{file: survey.json}]
wants: [{piece: brow, count: 2}]
start: 2026-11-30
${rest}`;
    const folder = newFolder({ 'survey.json': JSON.stringify(survey), 'shelf.yaml': shelf, 'plan.yaml': plan('') });
    const out = async (...argv: string[]) => flat((await plateful(argv, { cwd: folder })).out);
    const own = ['--shelf', 'shelf.yaml', '--material', material];
    const mix = ['mix', 'survey.json', ...own, '--way', way];
    const saved = (await plateful([...mix, '--json'], { cwd: folder })).out;
    writeFileSync(join(folder, 'mix.json'), saved);
    await plateful(['sheet', 'survey.json', ...own, '--way', way, '-o', 'run.html'], { cwd: folder });
    const [part] = JSON.parse(saved).batches[0].order as { part: string }[];
    const plans: [string, string][] = [
      ['mix', await out(...mix)],
      ['mix --display us', await out(...mix, '--display', 'us')],
      ['mix --json', flat(saved)],
      ['mix --csv', await out(...mix, '--csv')],
      ['sheet', flat(readFileSync(join(folder, 'run.html'), 'utf8'))],
      ['plan', await out('plan', 'plan.yaml')],
      ['plan --csv', await out('plan', 'plan.yaml', '--csv')],
      ['top-up', await out('top-up', 'plan.yaml')],
    ];
    const scales: [string, string][] = [
      ['weigh mix.json', await out('weigh', 'mix.json')],
      ['weigh mix.json --json', await out('weigh', 'mix.json', '--json')],
      ['weigh --need', await out('weigh', '--need', '50', ...own)],
      ['rescue mix.json', await out('rescue', 'mix.json', '--in-cup', `${part!.part}=30`)],
      ['rescue --json', await out('rescue', '--in-cup', `${part!.part}=30`, ...own, '--json')],
    ];
    for (const [form, text] of plans)
      expect([form, every.filter((words) => text.includes(words))]).toEqual([
        form,
        every.filter((words) => inPlan.includes(words)),
      ]);
    for (const [form, text] of scales)
      expect([form, every.filter((words) => text.includes(words))]).toEqual([
        form,
        every.filter((words) => atScale.includes(words)),
      ]);
    for (const [, text] of [...plans, ...scales]) {
      for (const words of every) expect(text.split(words).length).toBeLessThanOrEqual(2);
      expect(text.replace(/[{<][^}>]*[}>]/g, '')).not.toMatch(/\bsafe(ly|ty)?\b/i);
    }
    // A whole job repeats its cautions inside its mix, as a document of its own.
    expect(JSON.parse((await plateful(['plan', 'plan.yaml', '--json'], { cwd: folder })).out).cautions).toEqual(
      JSON.parse(saved).cautions,
    );
  });
});

describe('a mix with solvent in it', () => {
  it('is a stop under vacuum', () => {
    const { findings } = planMix([plateFromSurvey(survey)], { recipes: [thinned], way: 'straight', degassed: true });
    expect(findings[0]).toMatchObject({ code: 'solvent-under-vacuum', severity: 'stop' });
  });
});
