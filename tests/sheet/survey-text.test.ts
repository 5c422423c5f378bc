import { stripVTControlCharacters } from 'node:util';
import { describe, expect, test } from 'vitest';
import { colourPaint } from '../../src/sheet/paint.js';
import { surveyText } from '../../src/sheet/survey-text.js';
import { displayWidth } from '../../src/sheet/table.js';
import { sampleCavity, sampleSurvey } from './sample-survey.js';

const lines = (text: string): string[] => text.split('\n');

describe('the survey as text', () => {
  test('every line fits 80 places, with every measure known', () => {
    const full = Array.from({ length: 12 }, (_, i) =>
      sampleCavity(i + 1, `a piece with a name that is much too long ${i}`, {
        volumeMm3: 123_456.789,
        volumeUncertaintyMm3: 1_234,
        openingAreaMm2: 45_678,
        rimLengthMm: 1_234.5,
        flashAreaMm2: 12_345,
        thickness: {
          minMm: 12.34,
          maxMm: 23.45,
          medianMm: 13.45,
          edgeAngleDeg: 12.3,
          taper: [0.5, 1, 2].map((inMm) => ({ inMm, p10Mm: 1, medianMm: 12.34, p90Mm: 3 })),
        },
        undercut: { volumeMm3: 12_345, overhangMm: 1, neckMm: 1, stretchPct: 123 },
        airTraps: [{ volumeMm3: 1234, atMm: [1, 2, -3] }],
      }),
    );
    for (const line of lines(surveyText(sampleSurvey({ cavities: full })))) {
      expect(displayWidth(line), line).toBeLessThanOrEqual(80);
    }
  });

  test('findings come in the order of severity, one entry for several cavities, each with its code', () => {
    const text = surveyText(sampleSurvey());
    const order = ['stop ', 'caution ', 'note '].map((word) => lines(text).findIndex((line) => line.startsWith(word)));
    expect(order.every((at, i) => at > (order[i - 1] ?? 0))).toBe(true);
    expect(text).toContain('caution  Cavities 1 and 2: Thicken the edge. [thin]');
    expect(text).toContain('Cavity 2 (brow right)');
  });

  test('a message that begins with the number is not numbered twice', () => {
    const about = (message: string, cavity: number) =>
      ({ code: 'x', severity: 'caution', message: message.replace('N', String(cavity)), cavity }) as const;
    const findings = [about('Cavity N: weigh it.', 1), about('Cavity N: weigh it.', 2), about('Cavity N is open.', 1)];
    const text = surveyText(sampleSurvey({ findings }));
    expect(text).toContain('caution  Cavities 1 and 2: weigh it. [x]');
    expect(text).toContain('caution  Cavity 1 (brow left) is open. [x]');
  });

  test('where to start lifting is one sentence for three cavities and more', () => {
    const lift = (cavity: number) =>
      ({
        code: 'lift-start',
        severity: 'note',
        message: `Start lifting at ${cavity}.`,
        cavity,
        atMm: [10 * cavity, 5, 0],
      }) as const;
    const said = (...numbers: number[]) =>
      surveyText(sampleSurvey({ findings: numbers.map(lift) })).replace(/\s+/g, ' ');
    expect(said(1, 2, 3)).toContain(
      'note Start lifting where the edge is strongest and least held: cavity 1 at 10, 5; 2 at 20, 5; 3 at 30, 5 (x, y in mm). [lift-start]',
    );
    expect(said(1)).toContain('note Cavity 1 (brow left): Start lifting at 1. [lift-start]');
  });

  test('figures stand in the units of their heads, sums below', () => {
    const text = surveyText(sampleSurvey());
    expect(lines(text).filter((line) => / (?:brow left|all) /.test(line))).toEqual([
      ' 1  brow left     1.23  ±0.01     8.12  112.4   3.65   3.88  11.3',
      '    all           2.47           16.25          7.30',
    ]);
    expect(text).toContain('212.0 x 148.0 mm');
  });

  test('a figure that is not known is a dash; a measure that no cavity has is left out', () => {
    const text = surveyText(sampleSurvey({ cavities: [sampleCavity(1, 'ear', { volumeMm3: null })] }));
    expect(text).toMatch(/ear {2,}–/);
    expect(text).not.toContain('Thickness and edges');
  });

  test('colour only repeats what the words say', () => {
    expect(stripVTControlCharacters(surveyText(sampleSurvey(), { paint: colourPaint }))).toBe(
      surveyText(sampleSurvey()),
    );
  });

  test('a hostile name neither moves the cursor nor turns the line round', () => {
    const name = '\u001b[2J\u202e\u0007evil\nstop     all is well';
    const cavities = [sampleCavity(1, name)];
    const text = surveyText(
      sampleSurvey({
        cavities,
        source: { ...sampleSurvey().source, file: name },
        findings: [{ code: 'x', severity: 'note', message: `about ${name}`, cavity: 1 }],
      }),
    );
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not be there
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e]/);
    expect(lines(text).some((line) => line.startsWith('stop'))).toBe(false);
  });
});
