import { appendFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Grade, Log } from '../../src/fill/log/entry.js';
import { readPlan } from '../../src/fill/plan/plan-file.js';
import { topUp } from '../../src/fill/plan/top-up.js';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

const yaml = `plates: [{file: survey.json, new-mould: true}]
wants:
  - {piece: brow, count: 4, spares: 1, by: 2026-12-11}
  - {piece: brow, count: 2, by: 2026-12-04, grade: hero}
  - {piece: chin, count: 1, by: 2026-12-04}
start: 2026-11-30
`;
const plan = readPlan(yaml);
const cast = (name: string, grade: Grade) => ({
  plate: null,
  number: 1,
  name,
  massG: 3,
  predictedG: null,
  rangeG: null,
  grade,
  ...(grade === 'reject' && { reason: 'air' as const }),
});
const run = (casts: readonly { name: string; grade: Grade }[]) => ({
  way: 'straight' as const,
  material: 'invented',
  densityGPerMl: 1.07,
  weighed: [],
  leftG: 0,
  sweptMm2: 0,
  pieces: casts.length,
  casts: casts.map(({ name, grade }) => cast(name, grade)),
});
const logOf = (casts: readonly { name: string; grade: Grade }[]): Log => ({
  damaged: [],
  entries: casts.length === 0 ? [] : [{ entry: 1, at: '2026-12-01T10:00:00Z', kind: 'run', run: run(casts) }],
});
const many = (count: number, name: string, grade: Grade) => Array.from({ length: count }, () => ({ name, grade }));

describe('what the log shows short', () => {
  it('is all of it before anything was cast, on a mould that is still new', () => {
    const { plan: rest, short } = topUp(plan, logOf([]), '2026-11-30');
    expect(short.map(({ piece, have, want }) => [piece, have, want])).toEqual([
      ['brow', 0, 2],
      ['chin', 0, 1],
      ['brow', 0, 5],
    ]);
    expect(rest!.plates[0]!.newMould).toBe(true);
  });

  it('a want for heroes counts heroes only; what is left serves the other; rejects count for nothing', () => {
    const casts = [...many(3, 'brow', 'hero'), ...many(1, 'brow', 'background'), ...many(4, 'brow', 'reject')];
    const { plan: rest, short } = topUp(plan, logOf(casts), '2026-12-02');
    // Two of the three heroes are asked for; the third and the background piece go to the five.
    expect(short).toEqual([
      { piece: 'chin', have: 0, want: 1 },
      { piece: 'brow', have: 2, want: 5 },
    ]);
    expect(rest!.start).toBe('2026-12-02');
    expect(rest!.plates[0]!.newMould).toBe(false);
    expect(rest!.wants.map(({ piece, count, spares }) => [piece, count, spares])).toEqual([
      ['chin', 1, 0],
      ['brow', 2, 1],
    ]);
  });

  it('is nothing where wants and spares are there', () => {
    const casts = [...many(7, 'brow', 'hero'), ...many(1, 'chin', 'background')];
    expect(topUp(plan, logOf(casts), '2026-12-02')).toEqual({ plan: undefined, short: [] });
  });

  it('with what is there makes up every want, and never asks for more than is missing', () => {
    const grade = fc.constantFrom<Grade>('hero', 'background', 'reject');
    const anyCasts = fc.array(fc.record({ name: fc.constantFrom('brow', 'chin', 'nose'), grade }), { maxLength: 12 });
    fc.assert(
      fc.property(anyCasts, (casts) => {
        const { plan: rest } = topUp(plan, logOf(casts), '2026-12-01');
        const asked = (piece: string) =>
          (rest?.wants ?? [])
            .filter((want) => want.piece === piece)
            .reduce((sum, { count, spares }) => sum + count + spares, 0);
        const good = (name: string, ...grades: Grade[]) =>
          casts.filter((one) => one.name === name && grades.includes(one.grade)).length;
        expect(asked('chin')).toBe(Math.max(0, 1 - good('chin', 'hero', 'background')));
        // Of seven brows two must be heroes: whatever the background pieces, those are asked for.
        const heroes = good('brow', 'hero');
        const useful = Math.min(heroes, 2) + Math.min(5, Math.max(0, heroes - 2) + good('brow', 'background'));
        expect(asked('brow')).toBe(7 - useful);
      }),
      { seed: 21, numRuns: 300 },
    );
  });
});

describe('top-up on the command line', () => {
  const folder = () =>
    newFolder({
      'plan.yaml': yaml,
      'survey.json': JSON.stringify(surveyOf([cavity(1, 'brow', 3200), cavity(2, 'chin', 11_700)])),
    });
  const add = async (cwd: string, casts: readonly { name: string; grade: Grade }[]) => {
    writeFileSync(join(cwd, 'run.jsonl'), JSON.stringify({ kind: 'run', run: run(casts) }));
    await plateful(['log', 'add', '--from', 'run.jsonl'], { cwd });
  };

  it('plans the rest only, says what is short, and keeps to the key set of a plan', async () => {
    const cwd = folder();
    await add(cwd, [...many(2, 'brow', 'hero'), ...many(3, 'brow', 'background'), ...many(1, 'chin', 'hero')]);
    const { status, out } = await plateful(['top-up', 'plan.yaml', '--start', '2026-12-02', '--json'], { cwd });
    const document = JSON.parse(out);
    expect(status).toBe(0);
    expect(document.short).toEqual([{ piece: 'brow', have: 3, want: 5 }]);
    // One and a spare are missing; at 10 % rejects three are cast, and no first pull is thrown away again.
    expect(document.pieces).toMatchObject([{ piece: 'brow', count: 1, spares: 1, toCast: 3 }]);
    expect(document.plates).toMatchObject([{ fills: 3, scrapFills: 0 }]);
    const { out: text } = await plateful(['top-up', 'plan.yaml', '--start', '2026-12-02'], { cwd });
    expect(text).toMatch(/^Short {4}brow 3 of 5, by the log\./);
    expect(text).toContain('never latex');
    await add(cwd, many(2, 'brow', 'hero'));
    const whole = await plateful(['top-up', 'plan.yaml', '--json'], { cwd });
    expect(Object.keys(JSON.parse(whole.out))).toEqual(Object.keys(document));
    expect((await plateful(['top-up', 'plan.yaml'], { cwd })).out).toContain('nothing is short');
    expect((await plateful(['top-up', 'plan.yaml', '--csv'], { cwd })).out).toBe(
      'piece,count,spares,rejects,toCast,by,lastDay,castOn,met\r\n',
    );
  });

  it('names a damaged line of the log, and a want whose day is past is late', async () => {
    const cwd = folder();
    await add(cwd, many(1, 'chin', 'hero'));
    appendFileSync(join(cwd, 'plateful-log.jsonl'), '{"entry":2');
    const { status, out, err } = await plateful(['top-up', 'plan.yaml', '--start', '2026-12-09', '--json'], { cwd });
    expect(err).toContain('[log-line-damaged]');
    expect(status).toBe(3);
    expect(JSON.parse(out).findings[0]).toMatchObject({ code: 'want-late', severity: 'stop' });
  });

  it.each([
    [['top-up', 'none.yaml'], 2, 'file-missing'],
    [['top-up', 'plan.yaml', '--start', 'soon'], 1, '2026-12-04'],
    [['top-up', 'plan.yaml', '--start', '2026-02-30'], 1, '2026-12-04'],
    [['top-up', 'plan.yaml', '--json', '--csv'], 1, 'cannot be used with'],
  ])('refuses %j with status %i', async (argv, status, words) => {
    const result = await plateful(argv, { cwd: folder() });
    expect(result).toMatchObject({ status, out: '' });
    expect(result.err).toContain(words);
  });
});
