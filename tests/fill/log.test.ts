import { appendFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { genericSilicones } from '../../src/fill/generic-silicones.js';
import { checkLog } from '../../src/fill/log/check.js';
import { type Cast, type Log, readLog, runsOf } from '../../src/fill/log/entry.js';
import { planMix } from '../../src/fill/mix.js';
import { plateFromSurvey } from '../../src/fill/plate-load.js';
import { neatRecipe } from '../../src/fill/recipe.js';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

const mix = planMix([plateFromSurvey(surveyOf([cavity(1, 'brow', 3200), cavity(2, 'chin', 11_700)]))], {
  recipes: [neatRecipe(genericSilicones[0]!)],
  way: 'straight',
  fills: 2,
});
const logFile = 'plateful-log.jsonl';
const job = () => newFolder({ 'mix.json': JSON.stringify(mix) });
const add = (cwd: string, ...argv: string[]) =>
  plateful(['log', 'add', '--mix', 'mix.json', '--weighed', 'A=27,B=27', ...argv], { cwd });

describe('log add', () => {
  it('keeps what was weighed beside what the plan foretold', async () => {
    const folder = job();
    const { status, out } = await add(
      folder,
      '--cast',
      'brow=3.40,2=12.1:background,brow=3.1:reject:air',
      '--left',
      '2',
    );
    expect({ status, out }).toEqual({ status: 0, out: 'logged 1\n' });
    const [one] = runsOf(readLog(readFileSync(join(folder, logFile), 'utf8')));
    expect(one!.run).toMatchObject({ way: 'straight', leftG: 2, pieces: 4, sweptMm2: expect.closeTo(2 * 18_000, 6) });
    expect(one!.run.casts[0]).toMatchObject({
      name: 'brow',
      massG: 3.4,
      predictedG: expect.closeTo(3.2 * 1.07, 9),
      grade: 'hero',
    });
    expect(one!.run.casts[2]).toMatchObject({ name: 'brow', grade: 'reject', reason: 'air' });
  });

  it('gives pieces of one name to their cavities in turn, as often as the batch fills each', async () => {
    const twins = planMix([plateFromSurvey(surveyOf([cavity(1, 'ear', 3000), cavity(2, 'ear', 3300)]))], {
      recipes: [neatRecipe(genericSilicones[0]!)],
      way: 'straight',
      fills: 2,
    });
    const folder = newFolder({ 'mix.json': JSON.stringify(twins) });
    await add(folder, '--cast', 'ear=3.2,ear=3.2,ear=3.5,2=3.5');
    const [one] = runsOf(readLog(readFileSync(join(folder, logFile), 'utf8')));
    expect(one!.run.casts.map(({ number }) => number)).toEqual([1, 1, 2, 2]);
  });

  it('corrects a wrong line by a new one, and never edits', async () => {
    const folder = job();
    await add(folder, '--cast', 'brow=34');
    const before = readFileSync(join(folder, logFile), 'utf8');
    await add(folder, '--cast', 'brow=3.4', '--correct', '1');
    await add(folder, '--cast', 'chin=12.5');
    expect((await plateful(['log', 'add', '--withdraw', '3'], { cwd: folder })).out).toBe('logged 4\n');
    const after = readFileSync(join(folder, logFile), 'utf8');
    expect(after.startsWith(before)).toBe(true);
    expect(runsOf(readLog(after)).map(({ entry, run }) => [entry, run.casts[0]!.massG])).toEqual([[1, 3.4]]);
  });

  it('sets a cut last line aside, reports it, and goes on', async () => {
    const folder = job();
    await add(folder, '--cast', 'brow=3.4');
    appendFileSync(join(folder, logFile), '{"entry":2,"at":"2026-11-2');
    const check = await plateful(['log', 'check'], { cwd: folder });
    expect(check.status).toBe(0);
    expect(check.err).toContain('line 2');
    expect(check.err).toContain('[log-line-damaged]');
    const next = await add(folder, '--cast', 'brow=3.5');
    expect(next).toMatchObject({ status: 0, out: 'logged 2\n' });
    expect(next.err).toContain('[log-line-cut]');
    expect(readFileSync(join(folder, `${logFile}.damaged`), 'utf8')).toBe('{"entry":2,"at":"2026-11-2\n');
    expect(readLog(readFileSync(join(folder, logFile), 'utf8'))).toMatchObject({ damaged: [], entries: [{}, {}] });
  });

  it('reads on past a line that something else damaged', async () => {
    const folder = job();
    await add(folder, '--cast', 'brow=3.4');
    appendFileSync(join(folder, logFile), '\u0000\u0000\u0000\n');
    await add(folder, '--cast', 'brow=3.5');
    const { err, out } = await plateful(['log', 'list', '--json'], { cwd: folder });
    expect(err).toContain('line 2');
    expect(JSON.parse(out).runs.map(({ entry }: { entry: number }) => entry)).toEqual([1, 2]);
  });

  it('takes over the lock of a process that is gone', async () => {
    const folder = job();
    const { hostname } = await import('node:os');
    writeFileSync(join(folder, `${logFile}.lock`), `999999999 ${hostname()}`);
    expect((await add(folder, '--cast', 'brow=3.4')).status).toBe(0);
    expect(existsSync(join(folder, `${logFile}.lock`))).toBe(false);
  });

  it.each([
    [['--cast', 'nose=3'], 'cast-unknown'],
    [['--cast', 'brow=3,brow=3,1=3'], "fills '1' 2 times"],
    [['--cast', 'brow=3:reject'], 'A reject has a reason'],
    [['--cast', 'brow=3:splendid'], 'The grades are'],
    [['--cast', 'brow'], 'PIECE=GRAMS'],
    [['--correct', '7', '--cast', 'brow=3'], 'log-entry-unknown'],
    [['--batch', '9'], 'batch-unknown'],
    [['--weighed', 'A=27'], 'lacks B. Give every part: A=…,B=…. [part-missing]'],
  ])('refuses %j', async (argv, words) => {
    const folder = job();
    const { status, err } = await add(folder, ...argv);
    expect(status).toBe(1);
    expect(err).toContain(words);
    expect(existsSync(join(folder, logFile))).toBe(false);
  });
});

describe('a job folder that cannot be written to', () => {
  it.each([
    ['a file', 'mix.json'],
    ['below a file', 'mix.json/below'],
    ['where no folders are made', '/proc/plateful-no-such-folder'],
  ])('%s is refused in one line', async (_, where) => {
    const folder = job();
    const end = await add(folder, '--cast', 'brow=3.4', '--job', where);
    expect(end).toMatchObject({ status: 2, out: '' });
    expect(end.err.trimEnd().split('\n')).toHaveLength(1);
    expect(end.err).toMatch(/plateful-log\.jsonl: .*Nothing was logged\. .*\[log-not-written\]\n$/);
  });

  it('below folders that are not there yet is made', async () => {
    const folder = job();
    expect((await add(folder, '--cast', 'brow=3.4', '--job', 'a/b/c')).out).toBe('logged 1\n');
    expect(existsSync(join(folder, 'a/b/c', logFile))).toBe(true);
  });
});

describe('log check', () => {
  const cast = (massG: number, predictedG: number | null, rangeG: [number, number] | null): Cast => ({
    plate: null,
    number: 1,
    name: 'brow',
    massG,
    predictedG,
    rangeG,
    grade: 'hero',
  });
  const logOf = (...casts: Cast[]): Log => ({
    damaged: [],
    entries: [
      {
        entry: 1,
        at: '2026-11-25T09:00:00Z',
        kind: 'run',
        run: {
          way: 'straight',
          material: 'invented',
          densityGPerMl: 1.07,
          weighed: [],
          leftG: 0,
          sweptMm2: 0,
          pieces: casts.length,
          casts,
        },
      },
    ],
  });

  it('calls a piece short or heavy only outside its own range and 3 % or 0.1 g more', () => {
    const verdicts = checkLog(
      logOf(
        cast(9.3, 10, [9.6, 10.4]),
        cast(9.2, 10, [9.6, 10.4]),
        cast(10.7, 10, [9.6, 10.4]),
        cast(10.8, 10, [9.6, 10.4]),
        cast(1.09, 1, [1, 1]),
        cast(1.11, 1, [1, 1]),
        cast(5, null, null),
      ),
    ).map(({ verdict }) => verdict);
    expect(verdicts).toEqual([
      'as predicted',
      'short',
      'as predicted',
      'heavy',
      'as predicted',
      'heavy',
      'no prediction',
    ]);
  });

  it('and the runs are also tables for a spreadsheet', async () => {
    const folder = job();
    await add(folder, '--cast', 'brow=2.9,chin=14.2:reject:air', '--note', '=SUM(A1)');
    expect((await plateful(['log', 'check', '--csv'], { cwd: folder })).out.split('\r\n')).toEqual([
      'run,plate,number,piece,castG,plannedG,differencePct,grade,reason,verdict',
      // 3.2 and 11.7 ml at 1.07 g/ml: 3.424 and 12.519 g.
      '1,made.stl,1,brow,2.9,3.424,-15.3,hero,,short',
      '1,made.stl,2,chin,14.2,12.519,13.43,reject,air,heavy',
      '',
    ]);
    const list = (await plateful(['log', 'list', '--csv'], { cwd: folder })).out.split('\r\n');
    expect(list[1]).toMatch(/^1,[\dT:.Z-]+,straight,"platinum silicone, soft, 1:1",54,0,17.1,36000,4,2,1,'=SUM\(A1\)$/);
    const both = await plateful(['log', 'list', '--csv', '--json'], { cwd: folder });
    expect(both).toMatchObject({ status: 1, out: '' });
  });

  it('says what it may be', async () => {
    const folder = job();
    await add(folder, '--cast', 'brow=2.9,chin=14.2');
    const { out } = await plateful(['log', 'check'], { cwd: folder });
    expect(out).toMatch(/brow.*short: air, or scraped too deep/);
    expect(out).toMatch(/chin.*heavy: flash, or not scraped down/);
  });
});

describe('mix --log', () => {
  it('uses what the runs taught, and says so', async () => {
    const folder = newFolder({ 'survey.json': JSON.stringify(surveyOf([cavity(1, 'brow', 3200)])) });
    // Mixed = pieces + 5 g in the cup + 0.3 mm over the swept land, for six invented runs.
    const lines = [9000, 18_000, 27_000, 36_000, 18_000, 9000].map((sweptMm2) => {
      const mixed = 10 + 5 + (sweptMm2 / 1000) * 1.07 * 0.3;
      const casts = [
        { plate: null, number: 1, name: 'brow', massG: 10, predictedG: null, rangeG: null, grade: 'hero' },
      ];
      const weighed = [{ part: 'A', massG: mixed }];
      const common = { way: 'straight', material: 'invented', densityGPerMl: 1.07, leftG: 0, pieces: 1 };
      return JSON.stringify({ kind: 'run', run: { ...common, weighed, sweptMm2, casts } });
    });
    writeFileSync(join(folder, 'runs.jsonl'), lines.join('\n'));
    const added = await plateful(['log', 'add', '--from', 'runs.jsonl'], { cwd: folder });
    expect(added.out).toBe('logged 1\nlogged 2\nlogged 3\nlogged 4\nlogged 5\nlogged 6\n');
    const { out } = await plateful(['mix', 'survey.json', '--log', '.', '--json'], { cwd: folder });
    const { allowances } = JSON.parse(out);
    expect(allowances).toContainEqual({ what: 'cup and stick', massG: 5, from: 'learned' });
    expect(allowances).toContainEqual({
      what: 'scraped off the land',
      massG: expect.closeTo(18 * 1.07 * 0.3, 5),
      from: 'learned',
    });
    const learned = await plateful(['log', 'learn'], { cwd: folder });
    expect(learned.out).toMatch(/cup and stick, a batch +5\.0/);
    expect(learned.out).toMatch(/film left on the land +0\.300/);
  });
});
