import { describe, expect, it } from 'vitest';
import { Fault } from '../../src/base/fault.js';
import { readPlan } from '../../src/fill/plan/plan-file.js';
import { readShelf } from '../../src/fill/shelf/shelf.js';
import { shelfTemplate } from '../../src/fill/shelf/shelf-template.js';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

const plan = `way: straight
material: soft face silicone
plates:
  - file: ghost.json
    copies: 1
wants:
  - {piece: brow, count: 4, by: 2026-12-04}
start: 2026-11-30
temperature: 22 C
room: {volume: 30 m3, air-changes: 4 /h}
begins: '09:00'
`;

/** What is changed in the good file, then: the code, the key, the line of the changed text, and words of the remedy. */
type Fault30 = [what: string, from: string, to: string, code: string, key: string, remedy: string];

const shelfFaults: Fault30[] = [
  [
    'unknown unit',
    'density: 1.07 g/ml ',
    'density: 1.07 g/mll ',
    'shelf-unit-unknown',
    'silicones[0].density',
    "'g/ml'",
  ],
  ['unit of another dimension', 'tear: 3.5 N/mm', 'tear: 3.5 MPa', 'shelf-unit-unknown', 'silicones[0].tear', 'n/mm'],
  ['no unit', 'density-b: 1.06 g/ml', 'density-b: 1.06', 'shelf-unit-missing', 'silicones[0].density-b', '1.07 g/ml'],
  ['ratio 0', 'ratio: 1:1 ', 'ratio: 1:0 ', 'shelf-ratio-zero', 'silicones[0].ratio', 'above 0'],
  ['ratio of three', 'ratio: 1:1 ', 'ratio: 1:1:1 ', 'shelf-ratio-expected', 'silicones[0].ratio', '10:1'],
  [
    'density 11',
    'density-a: 1.08 g/ml',
    'density-a: 11 g/ml',
    'shelf-out-of-range',
    'silicones[0].density-a',
    'between 0.5 and 3',
  ],
  [
    'decimal comma',
    'density-a: 1.08 g/ml',
    'density-a: 1,08 g/ml',
    'shelf-decimal-comma',
    'silicones[0].density-a',
    '1.08 g/ml',
  ],
  [
    'missing key',
    '    ratio-by: weight          # weight or volume\n',
    '',
    'shelf-key-missing',
    'silicones[0].ratio-by',
    "Add 'ratio-by'",
  ],
  ['unknown key', 'cure-time: 5 h', 'cure-tme: 5 h', 'shelf-key-unknown', 'silicones[0].cure-tme', "'cure-time'"],
  ['tab indentation', '    ratio: 1:1 ', '\tratio: 1:1 ', 'shelf-yaml-tab-as-indent', 'ratio', 'blanks'],
  ['duplicate name', 'name: blood red\n', 'name: flesh base\n', 'shelf-name-twice', 'pigments[1].name', 'its own'],
  [
    'duplicate key',
    '    cures: platinum',
    '    name: twice\n    cures: platinum',
    'shelf-yaml-duplicate-key',
    'name',
    'Keep one',
  ],
  ['unknown word', 'ratio-by: weight ', 'ratio-by: wieght ', 'shelf-word-unknown', 'silicones[0].ratio-by', "'weight'"],
  [
    'no density',
    '    density-a: 1.08 g/ml\n    density-b: 1.06 g/ml\n    density: 1.07 g/ml        # of the mix, where the sheet states it\n',
    '',
    'shelf-density-missing',
    'silicones[0]',
    "'density-a'",
  ],
  [
    'tear without its method',
    '    tear-method: ISO 34-1 method B    # figures of different methods do not compare\n',
    '',
    'shelf-tear-method-missing',
    'silicones[0].tear',
    "'tear-method'",
  ],
  [
    'hardness without its scale',
    'hardness: 10 Shore 00',
    "hardness: '10'",
    'shelf-hardness-expected',
    'silicones[0].hardness',
    'Shore 00',
  ],
  [
    'second pot life rises',
    'second: 20 min at 33 C',
    'second: 60 min at 33 C',
    'shelf-pot-life-rises',
    'silicones[0].pot-life-second',
    'temperatures',
  ],
  [
    'second pot life without temperature',
    'second: 20 min at 33 C',
    'second: 20 min',
    'shelf-temperature-missing',
    'silicones[0].pot-life-second',
    '45 min at 23 C',
  ],
  [
    'day that is none',
    'use-by: 2027-05-31',
    'use-by: 2027-02-30',
    'shelf-day-expected',
    'silicones[0].lots[0].use-by',
    'year-month-day',
  ],
  ['negative price', 'price: 48.00', 'price: -48', 'shelf-out-of-range', 'silicones[0].packs[0].price', '0'],
  [
    'price as text',
    'price: 48.00',
    'price: cheap',
    'shelf-number-expected',
    'silicones[0].packs[0].price',
    'plain number',
  ],
  [
    'a record where a list is due',
    'softeners:\n  - name: softener\n',
    'softeners:\n    name: softener\n',
    'shelf-list-expected',
    'softeners',
    'list',
  ],
  [
    'unknown silicone in a recipe',
    'silicone: soft face silicone',
    'silicone: soft fase silicone',
    'shelf-name-unknown',
    'recipes[0].silicone',
    "'soft face silicone'",
  ],
  [
    'unknown additive in a recipe',
    'what: rose flock',
    'what: rise flock',
    'shelf-name-unknown',
    'recipes[0].add[3].what',
    "'rose flock'",
  ],
  [
    'drops of what was never weighed',
    '    drop: 0.035 g\n',
    '',
    'shelf-drop-unweighed',
    'recipes[0].add[2].drops',
    'twenty drops',
  ],
  [
    'share and drops',
    'drops: 4, per',
    'share: 1 %, drops: 4, per',
    'shelf-share-or-drops',
    'recipes[0].add[2]',
    'drops',
  ],
  [
    'drops without a mass',
    'drops: 4, per: 100 g,',
    'drops: 4,',
    'shelf-key-missing',
    'recipes[0].add[2].per',
    'per: 100 g',
  ],
  [
    'shares of the whole',
    'share: 20 %, of: A+B',
    'share: 99 %, of: total',
    'shelf-shares-too-large',
    'recipes[0].add',
    'A+B',
  ],
  [
    'unknown solvent',
    'solvent: acetone ',
    'solvent: aceton ',
    'shelf-word-unknown',
    'lacquers[0].solvent',
    "'acetone'",
  ],
  [
    'unclosed bracket',
    '{lot: demo-3, left: 310 g}',
    '{lot: demo-3, left: 310 g',
    'shelf-yaml-bad-indent',
    'thinners',
    'Close the bracket',
  ],
  ['unclosed quote', 'currency: EUR', 'currency: "EUR', 'shelf-yaml-missing-char', 'currency', 'Close the quotes'],
  ['no blank behind a colon', 'cures: platinum', 'cures:platinum', 'shelf-yaml-missing-char', 'cures', 'a blank'],
  ['a reference to nothing', 'currency: EUR', 'currency: *EUR', 'shelf-yaml-alias', 'currency', 'quotes'],
  [
    'a figure left out',
    'cure-time: 5 h at 23 C',
    'cure-time:',
    'shelf-figure-expected',
    'silicones[0].cure-time',
    '45 min',
  ],
  [
    'an assumed figure that is none',
    'assume: {}',
    'assume: {scrap-film: 0.1 mm}',
    'shelf-key-unknown',
    'assume.scrap-film',
    "'scrape-film'",
  ],
];

const planFaults: Fault30[] = [
  ['no cup at all', 'way: straight', 'way: straight\ncups: []', 'plan-empty', 'cups', 'at least one'],
  ['unknown unit', 'temperature: 22 C', 'temperature: 22 K', 'plan-unit-unknown', 'temperature', 'c'],
  ['unknown way', 'way: straight', 'way: strait', 'plan-word-unknown', 'way', "'straight'"],
  ['no plates', 'plates:\n  - file: ghost.json\n    copies: 1', 'plates: []', 'plan-empty', 'plates', 'at least one'],
  [
    'nothing wanted',
    'wants:\n  - {piece: brow, count: 4, by: 2026-12-04}',
    'wants: []',
    'plan-empty',
    'wants',
    'at least one',
  ],
  ['missing start', 'start: 2026-11-30\n', '', 'plan-key-missing', 'start', "'start'"],
  ['a want before the start', 'by: 2026-12-04', 'by: 2026-11-04', 'plan-date-order', 'wants[0].by', 'both days'],
  ['half a piece', 'count: 4', 'count: 4.5', 'plan-whole-expected', 'wants[0].count', 'whole'],
  ['no piece at all', 'count: 4', 'count: 0', 'plan-out-of-range', 'wants[0].count', '1'],
  ['file and weights', '    copies: 1', '    weights: {brow: 3 g}', 'plan-plate-file', 'plates[0]', 'weights'],
  [
    'weight without unit',
    '  - file: ghost.json',
    '  - weights: {brow: 3}',
    'plan-unit-missing',
    'plates[0].weights.brow',
    '450 g',
  ],
  ['no clock', "begins: '09:00'", "begins: 'nine'", 'plan-clock-expected', 'begins', "'09:00'"],
  [
    'a day off that is no day',
    'way: straight',
    'way: straight\ndays-off: [sunnday]',
    'plan-word-unknown',
    'days-off[0]',
    "'sunday'",
  ],
  [
    'no working day',
    'way: straight',
    'way: straight\ndays-off: [monday, tuesday, wednesday, thursday, friday, saturday, sunday]',
    'plan-no-working-day',
    'days-off',
    'at least one',
  ],
  [
    'a want twice',
    'wants:\n',
    'wants:\n  - {piece: brow, count: 1, by: 2026-12-04}\n',
    'plan-want-twice',
    'wants[1].piece',
    'Add',
  ],
  [
    'a list for a record',
    'room: {volume: 30 m3, air-changes: 4 /h}',
    'room: [30]',
    'plan-record-expected',
    'room',
    'volume',
  ],
  [
    'true as a word',
    '    copies: 1',
    '    copies: 1\n    new-mould: yes please',
    'plan-flag-expected',
    'plates[0].new-mould',
    'true or false',
  ],
];

function faultOf(read: () => unknown): Fault {
  try {
    read();
  } catch (error) {
    if (error instanceof Fault) return error;
    throw error;
  }
  throw new Error('no fault was found');
}

describe('the good files', () => {
  it('are read', () => {
    expect(readShelf(shelfTemplate).silicones).toHaveLength(1);
    expect(readPlan(plan).wants).toHaveLength(1);
  });

  it('a shelf may be JSON', () => {
    const json = '{"silicones": [{"name": "a", "ratio": "1:1", "ratio-by": "weight", "density": "SG 1.07"}]}';
    expect(readShelf(json).silicones[0]!.densityMixGPerMl).toBeCloseTo(1.07 * 0.999972, 6);
    const fault = faultOf(() => readShelf(json.replace('1:1', '1:0')));
    expect(fault).toMatchObject({ code: 'shelf-ratio-zero', where: 'line 1, key silicones[0].ratio' });
  });
});

describe.each([
  ['shelf', shelfTemplate, shelfFaults, readShelf],
  ['plan', plan, planFaults, readPlan],
] as const)('a faulty %s', (_, good, faults, read) => {
  it.each(faults)('%s', async (_what, from, to, code, key, remedy) => {
    expect(good).toContain(from);
    const fault = faultOf(() => read(good.replace(from, to)));
    expect(fault.code.startsWith(code), fault.toLine()).toBe(true);
    expect(fault.where).toMatch(/^line \d+/);
    expect(fault.where!.replace(/^line \d+, /, '')).toBe(`key ${key}`);
    expect(fault.remedy).toContain(remedy);
    expect(fault.toLine()).not.toContain('\n');
    // The line is the one that was changed; what is missing shows at what it is missing from.
    const changed = good.slice(0, good.indexOf(from)).split('\n').length;
    const line = Number(/^line (\d+)/.exec(fault.where!)![1]);
    const elsewhere = /missing|yaml|unweighed/.test(fault.code);
    expect(Math.abs(line - changed)).toBeLessThanOrEqual(elsewhere ? 25 : 3);
    // On the command line the same, behind the file's name, and nothing else.
    const folder = newFolder({ 'own.yaml': good.replace(from, to) });
    const argv = read === readShelf ? ['shelf', 'check', 'own.yaml'] : ['plan', 'own.yaml'];
    const end = await plateful(argv, { cwd: folder });
    expect(end).toEqual({ status: 2, out: '', err: `own.yaml, ${fault.toLine()}\n` });
  });
});

describe('a plan that does not go with its plates and its shelf', () => {
  it.each<[string, string, string, string, string]>([
    ['a piece that no plate has', 'piece: brow', 'piece: brou', 'line 7, key wants[0].piece', "'brow'"],
    [
      'a material that is nowhere',
      'soft face silicone',
      'soft fase silicone',
      'line 2, key material',
      "'soft face silicone'",
    ],
    [
      "a piece's material that is nowhere",
      '    copies: 1',
      '    materials: {brow: sea goast flesh}',
      'line 5, key plates[0].materials.brow',
      "'sea ghost flesh'",
    ],
    [
      'a material for a piece that is not there',
      '    copies: 1',
      '    materials: {brou: sea ghost flesh}',
      'line 5, key plates[0].materials.brou',
      "'brow'",
    ],
    [
      'a lacquer that is not on the shelf',
      'way: straight',
      'way: encapsulated\nbarrier: {lacquer: barier lacquer}',
      'line 2, key barrier.lacquer',
      "'barrier lacquer'",
    ],
  ])('%s', async (_, from, to, where, remedy) => {
    const folder = newFolder({
      'ghost.json': JSON.stringify(surveyOf([cavity(1, 'brow', 3200)])),
      'shelf.yaml': shelfTemplate,
      'plan.yaml': `${plan.replace(from, to)}shelf: shelf.yaml\n`,
    });
    const { status, out, err } = await plateful(['plan', 'plan.yaml'], { cwd: folder });
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err.startsWith(`plan.yaml, ${where}: `), err).toBe(true);
    expect(err).toContain(`Did you mean ${remedy}?`);
  });
});

describe('hostile files', () => {
  it('an empty one is named so', () => {
    for (const text of ['', '# nothing\n', '\n\n']) {
      expect(faultOf(() => readShelf(text))).toMatchObject({ code: 'shelf-empty', where: 'line 1' });
      expect(faultOf(() => readPlan(text))).toMatchObject({ code: 'plan-empty', where: 'line 1' });
    }
  });

  it('aliases that multiply without end are refused', () => {
    const bomb = [
      'a: &a [x, x]',
      ...Array.from(
        { length: 9 },
        (_, i) => `${'bcdefghij'[i]}: &${'bcdefghij'[i]} [*${'abcdefghi'[i]}, *${'abcdefghi'[i]}]`,
      ),
    ].join('\n');
    expect(faultOf(() => readShelf(bomb)).code).toBe('shelf-yaml-aliases');
  });

  it('a key named like a part of JavaScript is just unknown', () => {
    expect(faultOf(() => readShelf('constructor: {}')).code).toBe('shelf-key-unknown');
    expect(faultOf(() => readShelf('__proto__: {}')).code).toBe('shelf-key-unknown');
  });
});

describe('the command line on faulty files', () => {
  it('ends in status 2 with one line that names file, line, key and what to do', async () => {
    const folder = newFolder({
      'shelf.yaml': shelfTemplate.replace('density: 0.97 g/ml', 'density: 0.97'),
      'plan.yaml': plan.replace('count: 4', 'count: 0'),
    });
    const shelf = await plateful(['shelf', 'check', 'shelf.yaml'], { cwd: folder });
    expect(shelf).toMatchObject({ status: 2, out: '' });
    expect(shelf.err).toMatch(
      /^shelf\.yaml, line \d+, key softeners\[0\]\.density: .*Write it like 1\.07 g\/ml\. \[shelf-unit-missing\]\n$/,
    );
    const job = await plateful(['plan', 'plan.yaml'], { cwd: folder });
    expect(job).toMatchObject({ status: 2, out: '' });
    expect(job.err).toMatch(/^plan\.yaml, line 7, key wants\[0\]\.count: /);
  });
});
