import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { beforeAll, describe, expect, it } from 'vitest';
import { readLog } from '../../src/fill/log/entry.js';
import { newFolder } from './new-folder.js';

const root = join(import.meta.dirname, '../..');
let program = '';

/** The command line in one file, so that a process starts in a few hundredths of a second. */
beforeAll(async () => {
  const folder = newFolder({ 'package.json': '{"type": "module"}' });
  program = join(folder, 'log.js');
  await build({
    stdin: {
      contents: `
        import { Command } from 'commander';
        import { logCommand } from './cli/log.ts';
        const io = {
          out: (text) => new Promise((done) => process.stdout.write(text, done)),
          err: (text) => process.stderr.write(text),
          outIsTerminal: false, errIsTerminal: false, columns: 80, env: {}, cwd: process.cwd(),
          readInput: async () => '',
        };
        const program = new Command();
        logCommand.declare(program, io, () => undefined);
        await program.parseAsync(process.argv.slice(2), { from: 'user' });`,
      resolveDir: root,
      loader: 'ts',
    },
    bundle: true,
    platform: 'node',
    format: 'esm',
    outfile: program,
    banner: { js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);" },
    logLevel: 'error',
  });
});

function runLine(note: string): string {
  const run = {
    way: 'straight',
    material: 'invented',
    densityGPerMl: 1.07,
    weighed: [{ part: 'A', massG: 10 }],
    leftG: 0,
    sweptMm2: 100,
    pieces: 0,
    casts: [],
    note,
  };
  return JSON.stringify({ kind: 'run', run });
}

interface Writer {
  acknowledged: number[];
  code: number | null;
}

/** When a writer is killed: so many milliseconds after its start, or after its first acknowledgement. */
interface Kill {
  readonly after: 'start' | 'first line';
  readonly ms: number;
}

/** Adds entries in a process of its own, which may be killed on the way. */
async function addEntries(folder: string, input: string, kill?: Kill): Promise<Writer> {
  const child = spawn(process.execPath, [program, 'log', 'add', '--from', input], {
    cwd: folder,
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let out = '';
  let timer: NodeJS.Timeout | undefined;
  const killSoon = () => {
    timer ??= setTimeout(() => child.kill('SIGKILL'), kill!.ms);
  };
  if (kill?.after === 'start') killSoon();
  child.stdout.on('data', (chunk) => {
    out += chunk;
    if (kill?.after === 'first line') killSoon();
  });
  const [code] = await once(child, 'close');
  clearTimeout(timer);
  return { acknowledged: [...out.matchAll(/^logged (\d+)$/gm)].map(([, entry]) => Number(entry)), code };
}

/** A small generator with a seed (a linear congruence of Numerical Recipes). */
function generator(seed: number): () => number {
  let state = seed;
  return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
}

const logOf = (folder: string) => readLog(readFileSync(join(folder, 'plateful-log.jsonl'), 'utf8'));

describe('a log under power cuts and several writers', () => {
  it('200 kills at random moments lose nothing that was acknowledged', async () => {
    const one = join(newFolder({ 'one.jsonl': runLine('one') }), 'one.jsonl');
    const started = Date.now();
    await addEntries(newFolder(), one);
    const startMs = Date.now() - started;
    const entries = Array.from({ length: 400 }, (_, i) => runLine(`entry ${i}`)).join('\n');
    /** Kills in a job folder of its own; a log of many thousand lines would only slow the test. */
    const killInFolder = async (seed: number, kills: number) => {
      const folder = newFolder({ 'entries.jsonl': entries });
      const random = generator(seed);
      const acknowledged: number[] = [];
      let killed = 0;
      let killedWhileWriting = 0;
      for (let i = 0; i < kills; i++) {
        const kill: Kill =
          i % 4 === 0 ? { after: 'start', ms: startMs * (0.5 + random()) } : { after: 'first line', ms: 25 * random() };
        const writer = await addEntries(folder, 'entries.jsonl', kill);
        acknowledged.push(...writer.acknowledged);
        if (writer.code === null) killed += 1;
        if (writer.code === null && writer.acknowledged.length > 0) killedWhileWriting += 1;
      }
      // One more line ends the log whole, whatever the last kill left.
      expect((await addEntries(folder, one)).code).toBe(0);
      const log = logOf(folder);
      const kept = log.entries.map(({ entry }) => entry);
      expect(log.damaged).toEqual([]);
      expect(kept).toEqual(kept.map((_, i) => i + 1));
      expect(acknowledged.filter((entry) => !kept.includes(entry))).toEqual([]);
      expect(existsSync(join(folder, 'plateful-log.jsonl.lock'))).toBe(false);
      return { killed, killedWhileWriting };
    };
    const counts: { killed: number; killedWhileWriting: number }[] = [];
    for (let seed = 1; seed <= 5; seed++) {
      counts.push(...(await Promise.all([killInFolder(seed, 20), killInFolder(100 + seed, 20)])));
    }
    const sum = (key: 'killed' | 'killedWhileWriting') => counts.reduce((total, count) => total + count[key], 0);
    expect(sum('killed')).toBe(200);
    expect(sum('killedWhileWriting')).toBeGreaterThan(100);
  }, 180_000);

  it('two writers at once do not interleave', async () => {
    const folder = newFolder();
    writeFileSync(join(folder, 'left.jsonl'), Array.from({ length: 60 }, (_, i) => runLine(`left ${i}`)).join('\n'));
    writeFileSync(join(folder, 'right.jsonl'), Array.from({ length: 60 }, (_, i) => runLine(`right ${i}`)).join('\n'));
    const writers = await Promise.all([addEntries(folder, 'left.jsonl'), addEntries(folder, 'right.jsonl')]);
    expect(writers.map(({ code }) => code)).toEqual([0, 0]);
    const { entries, damaged } = logOf(folder);
    expect(damaged).toEqual([]);
    expect(entries.map(({ entry }) => entry)).toEqual(Array.from({ length: 120 }, (_, i) => i + 1));
    expect(writers.flatMap(({ acknowledged }) => acknowledged).toSorted((a, b) => a - b)).toEqual(
      entries.map(({ entry }) => entry),
    );
    const notes = entries.map((entry) => (entry.kind === 'run' ? entry.run.note! : ''));
    for (const side of ['left', 'right']) {
      expect(notes.filter((note) => note.startsWith(side))).toEqual(
        Array.from({ length: 60 }, (_, i) => `${side} ${i}`),
      );
    }
  });
});
