import { describe, expect, test } from 'vitest';
import { brokenLimits, brokenLines, limitNames, readLimits } from '../../src/sheet/limits.js';
import { plateful } from '../cli/harness.js';
import { sampleCavity, sampleResult, sampleSurvey } from './sample-survey.js';

const survey = sampleSurvey({
  cavities: [
    sampleCavity(1, 'brow', {
      thickness: { minMm: 0.5, maxMm: 4, medianMm: 2, edgeAngleDeg: 3, taper: [] },
      thinZones: [
        { areaMm2: 1, reachMm: 7, rimSpanMm: 3, minMm: 0.1, inner: false, atMm: [0, 0, 0] },
        { areaMm2: 1, reachMm: 9, rimSpanMm: 0, minMm: 0.1, inner: true, atMm: [0, 0, 0] },
      ],
      undercut: { volumeMm3: 0, overhangMm: null, neckMm: null, stretchPct: null },
      airTraps: [
        { volumeMm3: 3, atMm: [0, 0, 0] },
        { volumeMm3: 4, atMm: [0, 0, 0] },
      ],
    }),
    sampleCavity(2, 'ear', { nearestRimMm: 2 }),
  ],
});
const broken = (text: string): string[] => brokenLines(brokenLimits(survey, readLimits(text)));

describe('limits', () => {
  test.each([
    ['gap-mm >= 2', []],
    ['gap-mm >= 2.5', ['cavity 2 (ear): gap-mm is 2, the limit is >= 2.5']],
    [
      'volume-ml <= 1',
      [
        'cavity 1 (brow): volume-ml is 1.235, the limit is <= 1',
        'cavity 2 (ear): volume-ml is 1.235, the limit is <= 1',
      ],
    ],
    ['cavities >= 3', ['plate: cavities is 2, the limit is >= 3']],
    ['total-ml <= 2.5', []],
    ['findings <= stop', []],
    ['findings <= caution', ['plate: findings is stop, the limit is <= caution']],
  ])('%s', (text, lines) => {
    expect(broken(text)).toEqual(lines);
  });

  test('the figures of edges, undercut and air; what was not measured holds no limit', () => {
    const [one, two] = ['cavity 1 (brow)', 'cavity 2 (ear)'];
    expect(broken('least-mm >= 0.8')).toEqual([
      `${one}: least-mm is 0.5, the limit is >= 0.8`,
      `${two}: least-mm is not measured, the limit is >= 0.8`,
    ]);
    expect(broken('thin-reach-mm <= 6')[0]).toBe(`${one}: thin-reach-mm is 7, the limit is <= 6`);
    expect(broken('inner-thin-zones <= 0')[0]).toBe(`${one}: inner-thin-zones is 1, the limit is <= 0`);
    expect(broken('air-mm3 <= 6')[0]).toBe(`${one}: air-mm3 is 7, the limit is <= 6`);
    // No undercut needs no stretch.
    expect(broken('stretch-pct <= 10')).toEqual([`${two}: stretch-pct is not measured, the limit is <= 10`]);
  });

  test('a file holds one a line, with remarks', () => {
    const text = '# before the mould is run\ngap-mm>=5 # room to scrape\r\n\ndepth-mm <= 8, findings<=note\n';
    expect(readLimits(text).map((limit) => limit.text)).toEqual(['gap-mm >= 5', 'depth-mm <= 8', 'findings <= note']);
  });

  test.each([
    ['deph-mm <= 8', 'limit-unknown', "Did you mean 'depth-mm'?"],
    ['depth-mm < 8', 'limit-unreadable', 'Write a name, <= or >=, and a number'],
    ['depth-mm <= deep', 'limit-value', 'Write a number'],
    ['findings >= note', 'limit-value', 'Write findings <= none, note or caution.'],
    ['findings <= bad', 'limit-value', 'Write findings <= none, note or caution.'],
    ['# nothing <= here', 'limit-none', 'Write one'],
  ])('%s is refused', (text, code, remedy) => {
    expect(() => readLimits(text)).toThrow(expect.objectContaining({ code, kind: 'usage' }));
    expect(() => readLimits(text)).toThrow(expect.objectContaining({ remedy: expect.stringContaining(remedy) }));
    expect(() => readLimits(`\n${text}`, 'limits.txt')).toThrow(expect.objectContaining({ file: 'limits.txt' }));
  });

  test('every name can be read and judged', () => {
    for (const name of limitNames) {
      const text = name === 'findings' ? `${name} <= none` : `${name} >= 1e9`;
      expect(broken(text).length, name).toBeGreaterThan(0);
    }
  });
});

describe('survey --must-pass', () => {
  const run = (limits: string, ...more: string[]) =>
    plateful(['survey', 'harness.ts', '--must-pass', limits, ...more], {
      cwd: `${import.meta.dirname}/../cli`,
      survey: async () => sampleResult(),
    });

  test('status 3 and a short list where a limit is broken; the document alone on standard output', async () => {
    const { status, out, err } = await run('depth-mm <= 2, gap-mm >= 1', '--json');
    expect([status, JSON.parse(out).format]).toEqual([3, 'plateful.survey']);
    expect(err.trim().split('\n')).toEqual([
      'Limits that are broken:',
      '  cavity 1 (brow left): depth-mm is 3.875, the limit is <= 2',
      '  cavity 2 (brow right): depth-mm is 3.875, the limit is <= 2',
    ]);
  });

  test('status 0 where all hold, 1 where they cannot be read, 2 where their file is missing', async () => {
    expect(await run('depth-mm <= 5')).toMatchObject({ status: 0, err: '' });
    expect(await run('depth <= 5')).toMatchObject({ status: 1, out: '' });
    expect(await run('no-such-limits.txt')).toMatchObject({ status: 2, out: '' });
  });
});
