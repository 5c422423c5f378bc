import { describe, expect, it } from 'vitest';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

const survey = surveyOf([cavity(1, 'brow-l', 3200), cavity(2, 'gill fan', 11_700)]);
const stopped = surveyOf([cavity(1, 'brow-l', 3200)], {
  findings: [{ code: 'runs-off', severity: 'stop', message: 'Cavity 1 runs out over the edge.', cavity: 1 }],
});
const folder = newFolder({
  'survey.json': JSON.stringify(survey),
  'stopped.json': JSON.stringify(stopped),
  'thin.json': JSON.stringify({
    ...survey,
    findings: [{ code: 'thin-edge', severity: 'caution', message: 'Cavity 1: The edge is thin.', cavity: 1 }],
  }),
  'cut.json': JSON.stringify(survey).slice(0, 300),
  'changed.json': JSON.stringify(survey).replace('"volumeMm3":3200', '"volumeMm3":32000'),
  'other.json': '{"format": "something.else"}',
  'bad-volume.json': JSON.stringify(survey).replace('"volumeMm3":3200', '"volumeMm3":-3200'),
  'twice.json': JSON.stringify(survey).replace('"number":2', '"number":1'),
  'no-name.json': JSON.stringify(survey).replace('"name":"brow-l",', ''),
});
const own = ['--density', '1.1', '--ratio', '10:1', '--overfill', '0', '--cup-loss', '0'];

describe('mix', () => {
  it('reads a saved survey, from a file and from standard input, the same each time', async () => {
    const first = await plateful(['mix', 'survey.json', '--json', ...own], { cwd: folder });
    const second = await plateful(['mix', 'survey.json', '--json', ...own], { cwd: folder });
    const piped = await plateful(['mix', '-', '--json', ...own], {
      cwd: folder,
      readInput: async () => JSON.stringify(survey),
    });
    expect(first).toMatchObject({ status: 0, err: '' });
    expect(second.out).toBe(first.out);
    expect(piped.out).toBe(first.out);
    const document = JSON.parse(first.out);
    expect(document.materials[0]).toMatchObject({
      ratioBy: 'weight',
      ratio: [10, 1],
      densityGPerMl: 1.1,
      typical: false,
    });
    // (3.2 + 11.7) ml x 1.1 g/ml = 16.39 g: A 14.9 g; B follows from the rounded A, 1.49 g.
    expect(document.batches[0].parts.map((part: { massG: number }) => part.massG)).toEqual([14.9, 1.49]);
  });

  it('plans from weights without a file', async () => {
    const { status, out } = await plateful([
      'mix',
      '--weights',
      'brow-l=3.4,chin=12.5',
      '--fills',
      '3',
      '--json',
      ...own,
    ]);
    expect(status).toBe(0);
    expect(JSON.parse(out).perFill[0]).toMatchObject({ massG: 15.9, count: 3 });
  });

  it('fits 80 columns, with units in the heads and the order of severity in the findings', async () => {
    const { out } = await plateful(['mix', 'survey.json', 'stopped.json', '--fills', '2', '--despite', 'nothing'], {
      cwd: folder,
    });
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    expect(out).toMatch(/volume +mass +range +A +B\n.*ml +g +g +g +g/);
    expect(out.indexOf('stop ')).toBeLessThan(out.indexOf('note '));
    expect(out).toContain('[runs-off]');
    expect(out.match(/never latex/g)).toHaveLength(1);
  });

  it('ends in status 3 where a survey holds a stop, and in 0 where it is overridden, which the plan says', async () => {
    expect(await plateful(['mix', 'stopped.json', '--json'], { cwd: folder })).toMatchObject({ status: 3 });
    const { status, out } = await plateful(['mix', 'stopped.json', '--json', '--despite', 'runs-off'], { cwd: folder });
    expect(status).toBe(0);
    const { findings } = JSON.parse(out);
    const overridden = findings.find(({ code }: { code: string }) => code === 'runs-off');
    expect(overridden).toMatchObject({ severity: 'caution', message: expect.stringContaining('--despite') });
  });

  it('says that a survey was changed after it was saved, where its sums no longer hold', async () => {
    const { status, out } = await plateful(['mix', 'changed.json', '--json', ...own], { cwd: folder });
    expect(status).toBe(0);
    const codes = (json: string) => JSON.parse(json).findings.map(({ code }: { code: string }) => code) as string[];
    expect(codes(out)).toContain('survey-changed');
    expect(codes((await plateful(['mix', 'survey.json', '--json', ...own], { cwd: folder })).out)).not.toContain(
      'survey-changed',
    );
  });

  it('leaves thin edges of a survey judged for straight casting out of an encapsulated plan, and says so', async () => {
    const codes = async (...argv: string[]) =>
      JSON.parse((await plateful(['mix', 'thin.json', '--json', ...argv], { cwd: folder })).out).findings.map(
        ({ code }: { code: string }) => code,
      ) as string[];
    expect(await codes()).toContain('thin-edge');
    const encapsulated = await codes('--way', 'encapsulated');
    expect(encapsulated).toContain('way-differs');
    expect(encapsulated).not.toContain('thin-edge');
  });

  it('notes a code behind --despite that no stop has', async () => {
    const { out } = await plateful(['mix', 'stopped.json', '--despite', 'runs-of', '--json'], { cwd: folder });
    const { findings } = JSON.parse(out);
    expect(findings[0]).toMatchObject({ code: 'runs-off', severity: 'stop' });
    expect(findings.find(({ code }: { code: string }) => code === 'despite-unused').message).toContain("'runs-of'");
  });

  it('says what is not reckoned for pieces that were only weighed', async () => {
    const of = async (...argv: string[]) =>
      JSON.parse((await plateful(['mix', '--weights', 'brow=3.4', '--json', ...argv])).out);
    const codes = ({ findings }: { findings: { code: string }[] }) => findings.map(({ code }) => code);
    expect(codes(await of())).toContain('land-unknown');
    expect(codes(await of('--overfill', '10'))).not.toContain('land-unknown');
    const encapsulated = await of('--way', 'encapsulated', '--room', '30');
    expect(encapsulated).toMatchObject({ barrier: null, vapour: null });
    expect(codes(encapsulated)).toContain('barrier-area-unknown');
  });

  it.each([
    ['cut.json', 'survey-not-json', ''],
    ['other.json', 'survey-word-unknown', 'key format'],
    ['bad-volume.json', 'survey-out-of-range', 'key cavities[0].volumeMm3'],
    ['twice.json', 'survey-number-twice', 'key cavities[1].number'],
    ['no-name.json', 'survey-key-missing', 'key cavities[0]'],
    ['none.json', 'file-missing', ''],
  ])('refuses %s with %s', async (file, code, where) => {
    const { status, err, out } = await plateful(['mix', file], { cwd: folder });
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err.trimEnd().split('\n')).toHaveLength(1);
    expect(err).toContain(`[${code}]`);
    expect(err).toContain(file);
    expect(err).toContain(where);
  });

  it.each([
    [['--fills', '0', 'survey.json'], 'whole number'],
    [['--ratio', '0:1', 'survey.json'], 'above 0'],
    [['--density', '11', 'survey.json'], 'from 0.5 to 3'],
    [['--weights', 'brow=0'], 'above 0'],
    [['--weights', 'brow=1,brow=2'], 'twice'],
    [['--want', 'brow-l=1000000', 'survey.json'], 'at most 10000'],
    [['--weights', 'brow=1', 'survey.json'], 'file-and-weights'],
    [['--material', 'platinum silicone, sotf, 1:1', 'survey.json'], "Did you mean 'platinum silicone, soft, 1:1'"],
    [['--want', 'brow=2', 'survey.json'], 'piece-unknown'],
    [['--only', '9', 'survey.json'], 'piece-unknown'],
    [['--filss', '3', 'survey.json'], 'Did you mean'],
    [[], 'nothing-to-plan'],
  ])('refuses %j as wrong usage', async (argv, words) => {
    const { status, err, out } = await plateful(['mix', ...argv], { cwd: folder });
    expect(status).toBe(1);
    expect(out).toBe('');
    expect(err).toContain(words);
  });
});
