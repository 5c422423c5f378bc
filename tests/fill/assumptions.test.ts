import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { usualFigures } from '../../src/fill/assumptions.js';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

/**
 * What is assumed where nobody says otherwise; common practice, no source. Each with another figure that must change
 * what `mix` prints under the options that stand behind it.
 */
const spray = ['--way', 'encapsulated', '--room', '30'];
const figures: [name: string, usual: number | [number, number], unit: string, other: string, options: string[]][] = [
  ['over', 5, '%', '7 %', []],
  ['scrape-film', 0.2, 'mm', '150 um', []],
  ['massage', 15, '%', '12 %', spray],
  ['glove-and-spatula', 2, 'g', '1 g', spray],
  ['pot-life-used', 70, '%', '50 %', []],
  ['pot-life-factor', 2, '', '1.6', ['--temp', '30']],
  ['mixing', 3, 'min', '4 min', []],
  ['vacuum', 5, 'min', '6 min', ['--vacuum']],
  ['fill', [3, 5], 'min', '2 min', []],
  ['cavity', [1, 2.5], 'min', '30 s', []],
  ['cup-share', 80, '%', '10 %', []],
  ['vacuum-cup-share', 25, '%', '10 %', ['--vacuum']],
  ['small-mix', 20, 'g', '200 g', []],
  ['pigment-limit', 3, '%', '1 %', ['--shelf', 'shelf.yaml', '--material', 'flesh']],
  ['flock-limit', 1, '%', '0.1 %', ['--shelf', 'shelf.yaml', '--material', 'flesh']],
  ['barrier-margin', 12, 'mm', '8 mm', spray],
  ['overspray', 15, 'mm', '1 in', spray],
  ['pass-film', 0.05, 'mm', '30 um', spray],
  ['pass', 1, 'min', '2 min', spray],
  ['breathing-least', 5, 'times', '3', spray],
  ['breathing-most', 10, 'times', '20', spray],
];
/** These decide nothing of a mix: the last four the days of a job, the first two what is said at the scale. */
const elsewhere: [name: string, usual: number, unit: string][] = [
  ['ratio-tolerance', 2, '%'],
  ['rescue-until', 50, '%'],
  ['weighing', 5, 'min'],
  ['flash-off', 5, 'min'],
  ['lifting', 2, 'min'],
  ['finishing', 1, 'd'],
];

const shelf = `
silicones: [{name: base, ratio: 1:1, ratio-by: weight, density: 1.07 g/ml, pot-life: 45 min at 23 C}]
pigments: [{name: red, density: 1.4 g/ml}]
flocks: [{name: rose, density: 1.5 g/ml}]
recipes: [{name: flesh, silicone: base, add: [{what: red, share: 2 %, of: A+B}, {what: rose, share: 0.5 %, of: A+B}]}]
`;
const survey = JSON.stringify(
  surveyOf([cavity(1, 'brow', 10_000), cavity(2, 'chin', 5000)], {
    plate: { ...surveyOf([]).plate, landAreaMm2: 40_000 },
  }),
);
const folder = newFolder({ 'survey.json': survey, 'shelf.yaml': shelf });
const mix = (...argv: string[]) => plateful(['mix', 'survey.json', '--fills', '2', ...argv], { cwd: folder });

describe('figures of common practice', () => {
  it('are these, and no others', () => {
    const usual = usualFigures().map(({ name, value, unit }) => [
      name,
      typeof value === 'number' ? value : [value.straight, value.encapsulated],
      unit,
    ]);
    expect(usual.toSorted()).toEqual(
      [...figures.map(([name, value, unit]) => [name, value, unit]), ...elsewhere].toSorted(),
    );
  });

  it.each(figures)('%s is listed, and another one counts', async (name, usual, unit, other, options) => {
    const { out: before } = await mix(...options, '--json');
    const { out: after } = await mix(...options, '--json', '--assume', `${name}=${other}`);
    const entry = (json: string) =>
      JSON.parse(json).assumptions.find((one: { name: string }) => one.name === name) as object;
    const value = typeof usual === 'number' ? usual : usual[0];
    expect(entry(before)).toEqual({ name, value, unit, from: 'default' });
    expect(entry(after)).toMatchObject({ name, from: 'option' });
    const rest = (json: string) => ({ ...JSON.parse(json), assumptions: [] });
    expect(rest(after)).not.toEqual(rest(before));
    const { out: text } = await mix(...options, '--assume', `${name}=${other}`);
    expect(text.replace(/\s+/g, ' ')).toMatch(
      new RegExp(`Assumed \\(common practice, no source.*${name} [\\d.]+ ?${unit} ?\\(yours\\)`),
    );
  });

  it('are not listed where something better stands in their place', async () => {
    const names = async (...argv: string[]) =>
      JSON.parse((await mix(...argv, '--json')).out).assumptions.map(({ name }: { name: string }) => name) as string[];
    expect(await names()).toContain('scrape-film');
    expect(await names('--overfill', '3')).not.toEqual(expect.arrayContaining(['over', 'scrape-film']));
    expect(await names('--overfill', '3')).not.toContain('over');
    expect(await names()).not.toContain('barrier-margin');
    expect(await names()).not.toContain('pot-life-factor');
  });

  it('may stand on the shelf, and an option goes before it', async () => {
    const own = newFolder({ 'survey.json': survey, 'shelf.yaml': `${shelf}assume: {mixing: 6 min, fill: 4 min}\n` });
    const argv = ['mix', 'survey.json', '--shelf', 'shelf.yaml', '--json', '--assume', 'fill=2 min'];
    const { assumptions, batches } = JSON.parse((await plateful(argv, { cwd: own })).out);
    const value = (name: string) => assumptions.find((one: { name: string }) => one.name === name).value;
    expect([value('mixing'), value('fill'), value('cavity')]).toEqual([6, 2, 1]);
    expect(batches[0].minutes).toBe(6 + 2 + 2);
  });

  it('count for the days of a job', async () => {
    const plan = (assume: string) => `plates: [{file: survey.json}]
wants: [{piece: brow, count: 1, by: 2026-12-11}]
start: 2026-11-30
${assume}`;
    const job = newFolder({
      'survey.json': survey,
      'usual.yaml': plan(''),
      'own.yaml': plan('assume: {finishing: 3 d, weighing: 20 min}\n'),
      'bad.yaml': plan('assume: {finishing: 3 kg}\n'),
    });
    const of = async (file: string) => JSON.parse((await plateful(['plan', file, '--json'], { cwd: job })).out);
    const [usual, own] = [await of('usual.yaml'), await of('own.yaml')];
    // Friday the 11th, less a day to finish and a day to cure; less three days and one, the Monday of that week.
    expect([usual.pieces[0].lastDay, own.pieces[0].lastDay]).toEqual(['2026-12-09', '2026-12-07']);
    expect([usual.days[0].timetable[1].at, own.days[0].timetable[1].at]).toEqual(['09:05', '09:20']);
    expect(own.mix.assumptions).toContainEqual({ name: 'weighing', value: 20, unit: 'min', from: 'option' });
    const bad = await plateful(['plan', 'bad.yaml'], { cwd: job });
    expect(bad).toMatchObject({ status: 2, out: '' });
    expect(bad.err).toMatch(/^bad\.yaml, line 4, key assume\.finishing: .*\[plan-unit-unknown\]\n$/);
  });

  it('decide what is close enough at the scale', async () => {
    const near = ['weigh', '--need', '50', '--weighed', 'A=25,B=25.7'];
    expect((await plateful(near)).out).toMatch(/A +25\.0 +0\.70/);
    expect((await plateful([...near, '--assume', 'ratio-tolerance=3 %'])).out).toContain('under 3 %');
    const late = ['rescue', '--in-cup', 'A=30,B=20', '--minutes', '23', '--cup', '100'];
    expect((await plateful(late)).status).toBe(3);
    expect((await plateful([...late, '--assume', 'rescue-until=60 %'])).status).toBe(0);
  });

  it.each([
    ['scrap-film=2 mm', "Did you mean 'scrape-film'"],
    ['scrape-film=2', 'has no unit'],
    ['scrape-film=2 kg', 'The unit "kg"'],
    ['scrape-film=2 m', 'out of range'],
    ['over=-5 %', 'out of range'],
    ['over', 'NAME=FIGURE'],
    ['over=1 %,over=2 %', 'twice'],
    ['constructor=1', 'not known'],
    ['__proto__=1', 'not known'],
    ['pot-life-factor=0', 'from 1 to 10'],
  ])('refuse %s as wrong usage', async (text, words) => {
    const { status, out, err } = await mix('--assume', text);
    expect({ status, out }).toEqual({ status: 1, out: '' });
    expect(err).toContain(words);
  });

  it('stand in docs/plan.md, name and figure', () => {
    const page = readFileSync(join(import.meta.dirname, '../../docs/plan.md'), 'utf8');
    for (const { name, value, unit } of usualFigures()) {
      const figure = typeof value === 'number' ? `${value}` : `${value.straight}, ${value.encapsulated} encapsulated`;
      expect(page).toContain(`| \`${name}\` | ${`${figure} ${unit}`.trim()} |`);
    }
  });
});
