import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { plateful } from '../cli/harness.js';
import { newFolder } from './new-folder.js';

const root = join(import.meta.dirname, '../..');
const job = join(root, 'fixtures/worked-run');
const page = readFileSync(join(root, 'docs/worked-run.md'), 'utf8');

interface Row {
  what: string;
  arithmetic: string;
  byHand: string;
  tool: string;
  where: string;
}

/** The tables of the page: what, how, by hand, by the tool, and where in its documents. */
const rows: Row[] = page.split('\n').flatMap((line) => {
  const cells = line.split('|').map((cell) => cell.trim().replaceAll('`', ''));
  if (cells.length !== 7 || cells[1] === 'what' || cells[1]!.startsWith('--')) return [];
  const [, what, arithmetic, byHand, tool, where] = cells;
  return [{ what: what!, arithmetic: arithmetic!, byHand: byHand!, tool: tool!, where: where! }];
});

const documents: Record<string, unknown> = {};

beforeAll(async () => {
  const folder = newFolder();
  const ghost = ['--shelf', 'shelf.yaml', '--material', 'ghost skin', '--temp', '25', '--unit', 'mm'];
  const spray = ['--way', 'encapsulated', '--lacquer', 'barrier lacquer', '--film', '20', '--transfer', '25'];
  const read = async (...argv: string[]) => (await plateful([...argv, '--json'], { cwd: job })).out;
  documents.survey = JSON.parse(await read('survey', 'mould.obj', '--unit', 'mm'));
  const mix = await read('mix', 'mould.obj', ...ghost, '--fills', '5');
  documents.mix = JSON.parse(mix);
  documents.spray = JSON.parse(
    await read('mix', 'mould.obj', ...ghost, ...spray, '--room', '30', '--air-changes', '4'),
  );
  documents.plan = JSON.parse(await read('plan', 'plan.yaml'));
  const mixFile = join(folder, 'mix.json');
  writeFileSync(mixFile, mix);
  documents.weigh = JSON.parse(await read('weigh', mixFile, '--weighed', 'A, tinted=18.6'));
  documents.rescue = JSON.parse(
    await read('rescue', ...ghost.slice(0, 4), '--in-cup', 'A, tinted=18.6,softener=4,B=2.1'),
  );
  const weighed = ['--mix', mixFile, '--weighed', 'A, tinted=18.6,softener=4.01,B=1.7', '--left', '3.5'];
  const casts = 'brow=3.10,brow=3.14,chin=4.40,chin=4.05:background,scar=0.12,scar=0.12';
  await plateful(['log', 'add', '--job', folder, ...weighed, '--cast', casts]);
  documents.check = JSON.parse(await read('log', 'check', '--job', folder));
  const taught = newFolder();
  await plateful(['log', 'add', '--job', taught, '--from', join(job, 'runs.jsonl')]);
  documents.learn = JSON.parse(await read('log', 'learn', '--job', taught));
});

/** A number or text at `mix.batches[0].needG`. */
function at(path: string): unknown {
  return path
    .split(/[.[\]]+/)
    .filter(Boolean)
    .reduce<unknown>((value, key) => (value as Record<string, unknown>)[key], documents);
}

/** Sums, products, brackets, powers, `sqrt`, `exp`, `pi` and `ceil`: what a spreadsheet does. */
function calculate(arithmetic: string): number {
  expect(arithmetic.replace(/sqrt|exp|ceil|pi/g, '')).toMatch(/^[\d\s.+*/()^-]+$/);
  const script = arithmetic
    .replace(/sqrt|exp|ceil/g, 'Math.$&')
    .replaceAll('pi', 'Math.PI')
    .replaceAll('^', '**');
  return new Function(`return ${script}`)() as number;
}

const decimals = (figure: string): number => figure.split('.')[1]?.length ?? 0;

describe('the worked run of docs/worked-run.md', () => {
  it('covers the way from the survey to the log', () => {
    const parts = new Set(rows.map(({ where }) => where.split('.')[0]));
    expect(parts).toEqual(new Set(['survey', 'mix', 'spray', 'plan', 'weigh', 'rescue', 'check', 'learn']));
    expect(rows.length).toBeGreaterThanOrEqual(60);
  });

  it.each(rows)('$where: $what', ({ arithmetic, byHand, tool, where }) => {
    const found = at(where);
    if (!/^-?[\d.]+$/.test(byHand)) {
      expect(tool).toBe(byHand);
      expect(String(found)).toBe(tool);
      return;
    }
    // The hand figure is its arithmetic, as far as it is shown.
    expect(Math.abs(calculate(arithmetic) - Number(byHand))).toBeLessThanOrEqual(0.5 * 10 ** -decimals(byHand) + 1e-9);
    // What the page says of the tool is what the tool says now.
    expect((found as number).toFixed(decimals(tool))).toBe(tool);
    // And both agree to the last place shown.
    expect(decimals(tool)).toBe(decimals(byHand));
    expect(Math.abs(Number(tool) - Number(byHand))).toBeLessThanOrEqual(1.01 * 10 ** -decimals(byHand));
  });
});
