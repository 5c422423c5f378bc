import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shelfTemplate } from '../../src/fill/shelf/shelf-template.js';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

const schema = JSON.parse(readFileSync(new URL('../../docs/schema/mix.schema.json', import.meta.url), 'utf8'));
const holds = new Ajv({ allErrors: true }).compile(schema);

/** What a hand or another program may leave where a figure or a word stood; `undefined`: the key is gone. */
const wild = fc.constantFrom<unknown>(
  ...[
    undefined,
    null,
    0,
    -1,
    0.5,
    1e-9,
    7,
    1e9,
    1e300,
    -1e300,
    5e-324,
    '',
    ' ',
    '3',
    'nan',
    true,
    [],
    {},
    [1, 2],
    '\u0000',
  ],
);

type Path = (string | number)[];

function pathsOf(value: unknown, path: Path = []): Path[] {
  if (value === null || typeof value !== 'object') return [path];
  return [
    path,
    ...Object.entries(value).flatMap(([key, one]) => pathsOf(one, [...path, Array.isArray(value) ? Number(key) : key])),
  ];
}

/** The document with one value changed or gone. */
function edited(document: unknown, path: Path, value: unknown): unknown {
  const [key, ...rest] = path;
  if (key === undefined) return value;
  const copy = (Array.isArray(document) ? [...document] : { ...(document as object) }) as Record<string, unknown>;
  const inner = edited(copy[key], rest, value);
  if (inner === undefined && rest.length === 0) delete copy[key];
  else copy[key] = inner;
  return copy;
}

const good = surveyOf([cavity(1, 'brow', 3200), cavity(2, 'gill fan', 11_700), cavity(3, 'scar', 150)]);
const folder = newFolder({ 'survey.json': JSON.stringify(good), 'shelf.yaml': shelfTemplate });

/** A clear end: done, or refused in one line that names the file, or a stop; never a crash, never half an output. */
function expectClearEnd({ status, out, err }: { status: number; out: string; err: string }, file: string): void {
  expect([0, 2, 3], err).toContain(status);
  expect(err).not.toMatch(/\n\s+at /);
  if (status === 2) {
    expect(out).toBe('');
    expect(err.trimEnd().split('\n')).toHaveLength(1);
    expect(err).toContain(file);
    expect(err).toMatch(/\[[a-z-]+\]\n$/);
  } else expect(out).not.toMatch(/NaN|Infinity|undefined|\[object/);
}

describe('documents that were edited by hand', () => {
  it('a saved survey with any one value changed is planned by the rules, or refused in one line', async () => {
    const paths = pathsOf(good);
    const ends = new Map<number, number>();
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...paths), wild, fc.boolean(), async (path, value, encapsulated) => {
        writeFileSync(join(folder, 'edited.json'), JSON.stringify(edited(good, path, value) ?? null));
        const argv = ['mix', 'edited.json', ...(encapsulated ? ['--way', 'encapsulated', '--room', '30'] : [])];
        const json = await plateful([...argv, '--json'], { cwd: folder });
        expectClearEnd(json, 'edited.json');
        ends.set(json.status, (ends.get(json.status) ?? 0) + 1);
        if (json.status !== 2) expect(holds(JSON.parse(json.out)), JSON.stringify(holds.errors)).toBe(true);
        const text = await plateful(argv, { cwd: folder });
        expect(text.status).toBe(json.status);
        expectClearEnd(text, 'edited.json');
      }),
      { seed: 22, numRuns: 300 },
    );
    // Edits of both kinds were among them.
    expect(ends.get(0)).toBeGreaterThan(20);
    expect(ends.get(2)).toBeGreaterThan(100);
  });

  it('a saved plan with any one value changed serves the scale and the log, or is refused in one line', async () => {
    const saved = await plateful(
      ['mix', 'survey.json', '--shelf', 'shelf.yaml', '--material', 'sea ghost flesh', '--json'],
      {
        cwd: folder,
      },
    );
    const mix = JSON.parse(saved.out) as unknown;
    const weighed = 'B, tinted=20,softener=8,A=20';
    const commands = [
      ['weigh', 'edited.json', '--weighed', weighed, '--json'],
      ['weigh', 'edited.json'],
      ['rescue', 'edited.json', '--in-cup', weighed, '--minutes', '3'],
      ['log', 'add', '--mix', 'edited.json', '--weighed', weighed, '--cast', 'brow=3.3,scar=0.2:reject:air'],
    ];
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...pathsOf(mix)),
        wild,
        fc.constantFrom(...commands),
        async (path, value, argv) => {
          writeFileSync(join(folder, 'edited.json'), JSON.stringify(edited(mix, path, value) ?? null));
          const end = await plateful(argv, { cwd: folder });
          // A changed name of a part or a piece makes what is typed the wrong usage.
          if (end.status === 1) {
            expect(end.out).toBe('');
            expect(end.err).toMatch(/\[(part|cast|batch)-[a-z-]+\]\n$/);
          } else expectClearEnd(end, 'edited.json');
        },
      ),
      { seed: 23, numRuns: 300 },
    );
  });

  it('a shelf or a plan with characters lost, doubled or changed is read, or refused with its line', async () => {
    const plan = `shelf: shelf.yaml
material: sea ghost flesh
plates: [{file: survey.json, copies: 2, new-mould: true, materials: {scar: soft face silicone}}]
wants:
  - {piece: brow, count: 4, spares: 1, by: 2026-12-11}
start: 2026-11-30
scale: {step: 0.1 g}
cups: [100 ml, 500 ml]
`;
    const files = { 'shelf.yaml': shelfTemplate, 'plan.yaml': plan };
    const edit = fc.record({
      file: fc.constantFrom<keyof typeof files>('shelf.yaml', 'plan.yaml'),
      at: fc.nat(),
      cut: fc.integer({ min: 0, max: 6 }),
      put: fc.constantFrom(
        '',
        '\t',
        ':',
        ' ',
        '-',
        '"',
        '{',
        ']',
        '#',
        '0',
        '9',
        'e9',
        '\n',
        '\r\n',
        '&a',
        '*a',
        '!!x',
        '\u0000',
        'é',
        '|',
      ),
    });
    await fc.assert(
      fc.asyncProperty(edit, async ({ file, at, cut, put }) => {
        const text = files[file];
        const i = at % text.length;
        const job = newFolder({
          ...files,
          'survey.json': JSON.stringify(good),
          [file]: text.slice(0, i) + put + text.slice(i + cut),
        });
        const end = await plateful(['plan', 'plan.yaml', '--json'], { cwd: job });
        expect([0, 2, 3, 1], end.err).toContain(end.status);
        expect(end.err).not.toMatch(/\n\s+at /);
        if (end.status === 0 || end.status === 3) JSON.parse(end.out);
        else {
          expect(end.out).toBe('');
          expect(end.err.trimEnd().split('\n')).toHaveLength(1);
          expect(end.err).toMatch(/\[[a-z-]+\]\n$/);
        }
      }),
      { seed: 24, numRuns: 250 },
    );
  }, 60_000);
});
