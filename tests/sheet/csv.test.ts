import { expect, test } from 'vitest';
import { csvText, surveyCsv } from '../../src/sheet/csv.js';
import { sampleCavity, sampleSurvey } from './sample-survey.js';

test('fields are quoted and lines end as RFC 4180 has it', () => {
  expect(csvText(['a', 'b'], [['say "x", twice', null]])).toBe('a,b\r\n"say ""x"", twice",\r\n');
});

test('a name that a spreadsheet would run as a formula is text', () => {
  const cavities = ['=1+1', '@sum', '+1', '-1', 'brow'].map((name, i) => sampleCavity(i + 1, name));
  const names = surveyCsv(sampleSurvey({ cavities }))
    .split('\r\n')
    .slice(1, 6)
    .map((line) => line.split(',')[1]);
  expect(names).toEqual(["'=1+1", "'@sum", "'+1", "'-1", 'brow']);
});

test('every line has a field for each head, empty where there is no figure', () => {
  const [head, row] = surveyCsv(sampleSurvey({ cavities: [sampleCavity(1, 'ear')] }))
    .split('\r\n')
    .map((line) => line.split(','));
  expect(row).toHaveLength(head!.length);
  expect(row![head!.indexOf('thicknessMinMm')]).toBe('');
  expect(row![head!.indexOf('depthMm')]).toBe('3.875');
});
