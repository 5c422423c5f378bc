import { describe, expect, it } from 'vitest';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

const long = (what: string): string =>
  `an extraordinarily long name of a ${what} that nobody would type twice in a lifetime`;
const shelf = `
silicones: [{name: ${long('silicone')}, ratio: 1:1, ratio-by: weight, density: 1.07 g/ml, packs: [{holds: 1 kg, price: 40}]}]
softeners: [{name: ${long('softener')}, density: 0.97 g/ml}]
pigments: [{name: ${long('pigment')}, density: 1.4 g/ml, drop: 0.03 g}]
lacquers: [{name: ${long('lacquer')}, density: 0.86 g/ml, solids-by-volume: 20 %, solvent: ethyl acetate}]
recipes:
  - name: ${long('recipe')}
    silicone: ${long('silicone')}
    add: [{what: ${long('softener')}, share: 20 %, of: A+B}, {what: ${long('pigment')}, share: 1 %, of: B}]
`;
const plan = `shelf: shelf.yaml
way: encapsulated
material: ${long('recipe')}
plates: [{file: survey.json, new-mould: true}, {file: survey.json, materials: {chin: ${long('silicone')}}}]
wants: [{piece: ${long('piece')}, count: 3, by: 2026-12-01}, {piece: chin, count: 2, spares: 1}]
start: 2026-11-30
barrier: {lacquer: ${long('lacquer')}}
room: {volume: 30 m3}
`;
const survey = surveyOf([cavity(1, long('piece'), 3200), cavity(2, 'chin', 11_700)]);
const files = { 'survey.json': JSON.stringify(survey), 'shelf.yaml': shelf, 'plan.yaml': plan };

describe('the texts of the fill plan', () => {
  it('fit 80 columns, however long the names are', async () => {
    const folder = newFolder(files);
    const out = async (...argv: string[]) => (await plateful(argv, { cwd: folder })).out;
    const own = ['--shelf', 'shelf.yaml', '--material', long('recipe')];
    const { writeFileSync } = await import('node:fs');
    writeFileSync(`${folder}/mix.json`, await out('mix', 'survey.json', ...own, '--json'));
    const weighed = `B, tinted=10,${long('softener')}=4,A=10`;
    await out('log', 'add', '--mix', 'mix.json', '--weighed', weighed, '--cast', 'chin=12');
    const texts = [
      await out('mix', 'survey.json', ...own),
      await out(
        'mix',
        'survey.json',
        'survey.json',
        ...own,
        '--way',
        'encapsulated',
        '--room',
        '30',
        '--display',
        'us',
      ),
      await out('plan', 'plan.yaml'),
      await out('plan', 'plan.yaml', '--display', 'us'),
      await out('weigh', 'mix.json', '--display', 'us'),
      await out('rescue', 'mix.json', '--in-cup', 'A=30'),
      await out('shelf', 'list', 'shelf.yaml'),
      await out('log', 'list'),
      await out('log', 'check'),
    ];
    for (const text of texts) {
      expect(text.length).toBeGreaterThan(100);
      expect(text).not.toContain('\u001b');
      for (const line of text.split('\n')) expect([...line].length, line).toBeLessThanOrEqual(80);
    }
  });

  it('show the spray in US units: in², US fl oz, oz, mil, ft³, cfm and °F (NIST SP 811)', async () => {
    const folder = newFolder(files);
    const argv = ['mix', 'survey.json', '--way', 'encapsulated', '--film', '25.4', '--transfer', '25', '--room', '30'];
    const { barrier, vapour } = JSON.parse((await plateful([...argv, '--json'], { cwd: folder })).out);
    const { out } = await plateful([...argv, '--display', 'us'], { cwd: folder });
    const text = out.replace(/\s+/g, ' ');
    // SP 811: 1 in² is 645.16 mm², 1 US fl oz 29.57353 ml, 1 oz 28.34952 g, 1 ft³ 0.02831685 m³, 1 ft³/min 4.719474e-4 m³/s.
    expect(text).toContain(`walls ${(barrier.area.wallsMm2 / 645.16).toFixed(0)}, margin`);
    expect(text).toContain('film 1 mil dry of barrier lacquer');
    expect(text).toContain(`spray ${(barrier.sprayedMl / 29.57353).toFixed(2)} US fl oz`);
    expect(text).toContain(`evaporates ${(barrier.solventG / 28.34952).toFixed(2)} oz of acetone`);
    // 30 m³ are 1059 ft³; -18 °C are -0.4 °F.
    expect(text).toContain('1059 ft³');
    expect(text).toContain('flash point 0 °F');
    expect(text).toContain(`air ${(vapour.airNeededM3PerH / 3600 / 4.719474e-4).toFixed(0)} cfm would`);
  });
});
