import { mkdir, mkdtemp, readdir, readFile, readlink, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { writeOutputs } from '../../cli/write-output.js';
import { sampleResult } from '../sheet/sample-survey.js';
import { plateful } from './harness.js';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plateful-output-'));
});
afterEach(() => rm(folder, { recursive: true }));

const fault = async (promise: Promise<void>): Promise<{ code: string; file: string; kind: string }> =>
  promise.then(
    () => expect.unreachable('it was written'),
    (error) => error,
  );

describe('outputs are written whole or not at all', () => {
  test('several at once, replacing what was there, leaving nothing beside them', async () => {
    await writeFile(join(folder, 'a.json'), 'old');
    await writeOutputs(
      [
        { path: 'a.json', data: 'new' },
        { path: join(folder, 'b.bin'), data: new Uint8Array([1, 2]) },
      ],
      ['plate.stl'],
      folder,
    );
    expect(await readFile(join(folder, 'a.json'), 'utf8')).toBe('new');
    expect([...(await readFile(join(folder, 'b.bin')))]).toEqual([1, 2]);
    expect((await readdir(folder)).sort()).toEqual(['a.json', 'b.bin']);
  });

  test('where one cannot be written, none is, and no part is left', async () => {
    await writeFile(join(folder, 'a.json'), 'old');
    const outputs = ['a.json', 'no-such-folder/b.json'].map((path) => ({ path, data: 'new' }));
    expect(await fault(writeOutputs(outputs, [], folder))).toMatchObject({
      code: 'output-not-written',
      file: 'no-such-folder/b.json',
      kind: 'usage',
    });
    expect(await readFile(join(folder, 'a.json'), 'utf8')).toBe('old');
    expect(await readdir(folder)).toEqual(['a.json']);
  });

  test('the file that was read is never replaced, by whatever way it is named', async () => {
    await writeFile(join(folder, 'plate.stl'), 'mesh');
    await symlink('plate.stl', join(folder, 'link.json'));
    for (const path of ['./plate.stl', 'link.json']) {
      expect(await fault(writeOutputs([{ path, data: 'x' }], ['plate.stl'], folder))).toMatchObject({
        code: 'output-is-input',
      });
    }
    expect(await readFile(join(folder, 'plate.stl'), 'utf8')).toBe('mesh');
  });

  test('a link is followed, a folder and a name given twice are refused', async () => {
    await mkdir(join(folder, 'sub'));
    await writeFile(join(folder, 'real.json'), 'old');
    await symlink('real.json', join(folder, 'link.json'));
    await writeOutputs([{ path: 'link.json', data: 'new' }], [], folder);
    expect(await readlink(join(folder, 'link.json'))).toBe('real.json');
    expect(await readFile(join(folder, 'real.json'), 'utf8')).toBe('new');
    expect(await fault(writeOutputs([{ path: 'sub', data: 'x' }], [], folder))).toMatchObject({
      code: 'output-not-written',
    });
    const twice = ['a.json', './a.json'].map((path) => ({ path, data: 'x' }));
    expect(await fault(writeOutputs(twice, [], folder))).toMatchObject({ code: 'output-named-twice' });
  });
});

test('survey -o writes each format by its ending, and the table still shows', async () => {
  await writeFile(join(folder, 'plate.stl'), 'mesh');
  const survey = async () => sampleResult();
  const argv = ['survey', 'plate.stl', '-o', 'p.json', '-o', 'P.CSV', '-o', 'p.txt'];
  const { status, out } = await plateful(argv, { survey, cwd: folder });
  const { out: json } = await plateful(['survey', 'plate.stl', '--json'], { survey, cwd: folder });
  expect(status).toBe(0);
  expect(await readFile(join(folder, 'p.json'), 'utf8')).toBe(json);
  expect(await readFile(join(folder, 'p.txt'), 'utf8')).toBe(out);
  expect(await readFile(join(folder, 'P.CSV'), 'utf8')).toMatch(/^number,name,/);
});
