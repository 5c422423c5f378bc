import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { SurveyDocument } from '../../src/base/survey-document.js';
import { readNames } from '../../src/reading/name-list.js';
import type { SurveyOptions } from '../../src/survey.js';
import { newFolder } from '../fill/new-folder.js';
import { sampleResult, sampleSurvey } from '../sheet/sample-survey.js';
import { plateful } from './harness.js';

const here = 'harness.ts';

/** The sample survey under other names, as a survey that was given none. */
function called(...names: string[]): SurveyDocument {
  const sample = sampleSurvey();
  return { ...sample, cavities: sample.cavities.map((cavity, i) => ({ ...cavity, name: names[i] ?? cavity.name })) };
}

function surveying(document: SurveyDocument) {
  const seen: SurveyOptions[] = [];
  const survey = async (_: unknown, options: SurveyOptions) => {
    seen.push(options);
    return sampleResult(document);
  };
  return { seen, survey };
}

describe('survey --names', () => {
  test('the list reaches the survey; it may come through standard input', async () => {
    const { seen, survey } = surveying(sampleSurvey());
    const { status } = await plateful(['survey', here, '--names', '-'], {
      survey,
      readInput: async () => 'brow left\nchin\n',
    });
    expect(status).toBe(0);
    expect(seen[0]!.names).toEqual(readNames('brow left\nchin\n'));
  });

  test('what is wrong in it is one line with its file and place, status 2, before anything is surveyed', async () => {
    const path = join(newFolder(), 'names.csv');
    await writeFile(path, 'name,x,y\nbrow,12,4o\n');
    const { seen, survey } = surveying(sampleSurvey());
    const { status, out, err } = await plateful(['survey', here, '--names', path], { survey });
    expect([status, out, seen.length]).toEqual([2, '', 0]);
    expect(err).toBe(`${path}, line 2: '4o' in column y cannot be read. Write a number, as 12.5. [names-number]\n`);
  });

  test('for many files it is read once, for all', async () => {
    const { seen, survey } = surveying(sampleSurvey());
    const argv = ['survey', here, here, '--json-lines', '--names', '-'];
    await plateful(argv, { survey, readInput: async () => 'brow left\n' });
    expect(seen.map(({ names }) => names?.entries.length)).toEqual([1, 1]);
  });
});

describe('survey --write-names', () => {
  const write = (path: string, document: SurveyDocument, ...more: string[]) =>
    plateful(['survey', here, '--write-names', path, ...more], { survey: surveying(document).survey });

  test('writes a list that reads back', async () => {
    const path = join(newFolder(), 'names.csv');
    const { status, err } = await write(path, called('brow, upper', '=brow'));
    expect([status, err]).toEqual([0, '']);
    const { entries } = readNames(await readFile(path, 'utf8'));
    expect(entries.slice(0, 2).map(({ name }) => name)).toEqual(['brow, upper', '=brow']);
    expect(entries).toHaveLength(sampleSurvey().cavities.length);
  });

  test('says that it replaces a list', async () => {
    const path = join(newFolder(), 'names.csv');
    await write(path, called('brow left'));
    const { status, err } = await write(path, called('brow left'));
    expect(status).toBe(0);
    expect(err).toContain(`${path}: replaced`);
  });

  test("does not lose a person's names: refused, the file as it was", async () => {
    const path = join(newFolder(), 'names.csv');
    await writeFile(path, 'brow left\nhorn\n');
    const { status, out, err } = await write(path, called('cavity-1', 'cavity-2'));
    expect([status, out]).toEqual([1, '']);
    expect(err).toContain("'brow left', 'horn'");
    expect(err).toContain('[names-would-be-lost]');
    expect(await readFile(path, 'utf8')).toBe('brow left\nhorn\n');
  });

  test('does not replace what is no list of names', async () => {
    const path = join(newFolder(), 'letter.csv');
    await writeFile(path, `dear all\n${'x'.repeat(200)}\n`);
    const { status, err } = await write(path, called());
    expect(status).toBe(1);
    expect(err).toContain('no list of names');
    expect(await readFile(path, 'utf8')).toContain('dear all');
  });

  test('does not write over the list it reads', async () => {
    const path = join(newFolder(), 'names.csv');
    await writeFile(
      path,
      `${sampleSurvey()
        .cavities.map(({ name }) => name)
        .join('\n')}\n`,
    );
    const { status, err } = await write(path, sampleSurvey(), '--names', path);
    expect(status).toBe(1);
    expect(err).toContain('[output-is-input]');
  });

  test('is for one plate', async () => {
    const { status, err } = await write('names.csv', sampleSurvey(), '--json-lines');
    expect(status).toBe(1);
    expect(err).toContain('--write-names');
  });
});
