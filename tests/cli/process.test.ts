/** The program as a process of its own: pipes, a terminal, signals, threads. */
import { spawn } from 'node:child_process';
import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { build } from 'esbuild';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { plateMould } from '../../fixtures/make/plate.js';
import { toBinaryStl } from '../../fixtures/make/write.js';

const root = resolve(import.meta.dirname, '../..');
const built = join(root, '.cache/process-test');
const main = join(built, 'main.js');
let folder = '';

beforeAll(async () => {
  await build({
    entryPoints: ['main', 'survey-thread', 'measure-thread'].map((name) => join(root, 'cli', `${name}.ts`)),
    outdir: built,
    bundle: true,
    splitting: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    target: 'node20',
    logLevel: 'error',
  });
  folder = await mkdtemp(join(tmpdir(), 'plateful-process-'));
  await writeFile(join(folder, 'plate.stl'), toBinaryStl(plateMould(analyticPlate()).mesh));
  await writeFile(join(folder, 'broken.stl'), 'solid plate\nfacet normal 0 0 1\n outer loop\n  vertex 0 0 nan\n');
  // Many points keep the survey busy long enough to be stopped.
  await writeFile(
    join(folder, 'fine.stl'),
    toBinaryStl(plateMould(analyticPlate({ meshMm: 0.3, landMeshMm: 0.3 })).mesh),
  );
});
afterAll(() => rm(folder, { recursive: true }));

interface Ended {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

function ended(command: string, args: readonly string[], act?: (seen: string, input: (text: string) => void) => void) {
  return new Promise<Ended>((settle) => {
    const env = { ...process.env, SHELL: '/bin/sh', TERM: 'xterm-256color', NO_COLOR: '' };
    const child = spawn(command, args, { cwd: folder, env });
    let [out, err] = ['', ''];
    child.stdout.setEncoding('utf8').on('data', (text) => {
      out += text;
      act?.(out, (typed) => child.stdin.write(typed));
    });
    child.stderr.setEncoding('utf8').on('data', (text) => {
      err += text;
    });
    child.on('close', (status) => settle({ status, out, err }));
  });
}
const plateful = (...args: string[]): Promise<Ended> => ended(process.execPath, [main, ...args]);
/**
 * On a terminal of its own, by util-linux's `script`, which ends with the program's status (-e); what a person sees is
 * in `out`. The shell gives way to the program (exec): not every shell outlives a Ctrl-C that its child has handled.
 */
const onTerminal = (line: string, act?: (seen: string, input: (text: string) => void) => void): Promise<Ended> =>
  ended('script', ['-qec', `stty cols 80; exec "${process.execPath}" "${main}" ${line}`, '/dev/null'], act);

describe('in a pipe', () => {
  test('the document and nothing else; no colour, no progress', async () => {
    const { status, out, err } = await plateful('survey', 'plate.stl', '--json', '--quick');
    expect([status, err]).toEqual([0, '']);
    expect(JSON.parse(out).cavities).toHaveLength(12);
    const table = await plateful('survey', 'plate.stl', '--quick');
    expect(table.out + table.err).not.toContain('\u001b');
  });

  test('a broken file: one line, its place, status 2', async () => {
    const { status, out, err } = await plateful('survey', 'broken.stl');
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(/^broken\.stl, line 4[^\n]*\[[a-z0-9-]+\]\n$/);
  });

  test('a reader that goes away early is no fault', async () => {
    const line = `"${process.execPath}" "${main}" survey plate.stl --json --quick | head -n 1`;
    expect(await ended('sh', ['-c', line])).toEqual({ status: 0, out: '{\n', err: '' });
  });

  test('many files in threads: in their order, and the broken one stops only itself', async () => {
    const { status, out, err } = await plateful(
      'survey',
      'plate.stl',
      'broken.stl',
      'plate.stl',
      '--json-lines',
      '--quick',
    );
    const lines = out.trimEnd().split('\n');
    expect([status, lines.length, lines[0] === lines[1]]).toEqual([2, 2, true]);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  });
});

describe('on a terminal', () => {
  test('progress is drawn, then cleared; the table is painted', async () => {
    const { status, out } = await onTerminal('survey fine.stl --quick');
    expect(out).toContain('\r\u001b[K');
    const last = out.slice(out.lastIndexOf('\u001b[K') + 3);
    expect(last).toMatch(/^File {5}fine\.stl/);
    expect(last).toContain('\u001b[1mFindings');
    expect(status).toBe(0);
  });

  test('Ctrl-C ends it: said, nothing written, status 130', async () => {
    let typed = false;
    const { status, out } = await onTerminal('survey fine.stl -o fine.json', (seen, type) => {
      if (!typed && seen.includes('finding')) {
        typed = true;
        type('\u0003');
      }
    });
    expect(typed).toBe(true);
    expect(out).toContain('plateful: stopped; nothing was written.');
    expect(status).toBe(130);
    expect((await readdir(folder)).sort()).toEqual(['broken.stl', 'fine.stl', 'plate.stl']);
  });
});
