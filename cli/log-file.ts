import { mkdir, open, readFile, stat } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { Fault } from '../src/base/fault.js';
import { type Log, type LogEntry, type NewEntry, readLog } from '../src/fill/log/entry.js';
import type { Io } from './io.js';
import { withLock } from './lock-file.js';
import { reason } from './write-output.js';

/** The log of a job stands in the job's folder. */
export const logName = 'plateful-log.jsonl';

export function logPath(job: string, cwd: string): string {
  return join(resolve(cwd, job), logName);
}

/** The log of a job; an empty one where none was begun. */
export async function readLogFile(path: string): Promise<Log> {
  try {
    return readLog(await readFile(path, 'utf8'));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT') return { entries: [], damaged: [] };
    if (error instanceof Fault) throw error;
    throw new Fault({
      code: 'log-unreadable',
      file: path,
      message: `The log cannot be read (${code}).`,
      remedy: 'Check the folder.',
    });
  }
}

/** The log of a job; lines that cannot be read are named on standard error, and the others count. */
export async function loadLog(job: string, io: Pick<Io, 'cwd' | 'err'>): Promise<Log> {
  const path = logPath(job, io.cwd);
  const log = await readLogFile(path);
  for (const { line } of log.damaged) {
    io.err(
      `${path}, line ${line}: the line cannot be read; the others count. Add that run again. [log-line-damaged]\n`,
    );
  }
  return log;
}

/** A line that was cut off by a power cut, moved out of the way before the next one is written. */
export interface SetAside {
  readonly bytes: number;
  readonly file: string;
}

export interface Appended {
  readonly entry: LogEntry;
  readonly setAside: SetAside | undefined;
}

/**
 * Appends one entry. When this returns, the line is on the disk: it is written in one go and synced, so that a power
 * cut loses at most a line that was not acknowledged. A line without its end, left by such a cut, is first moved to a
 * file beside the log.
 * @param at time of the entry, ISO 8601
 * @throws Fault `log-…`
 */
export async function appendEntry(path: string, content: NewEntry, at: string): Promise<Appended> {
  try {
    await makeFolder(dirname(path));
    return await append(path, content, at);
  } catch (error) {
    if (error instanceof Fault || (error as NodeJS.ErrnoException).code === undefined) throw error;
    const remedy = 'Nothing was logged. Give another folder with --job.';
    throw new Fault({ code: 'log-not-written', file: path, message: reason(error), remedy });
  }
}

/** A folder with those above it. One by one: mkdir's own recursion never ends where a file system makes no folders. */
async function makeFolder(path: string): Promise<void> {
  const found = await stat(path).catch(() => undefined);
  if (found?.isDirectory()) return;
  if (dirname(path) !== path) await makeFolder(dirname(path));
  await mkdir(path).catch((error: NodeJS.ErrnoException) => {
    // Another writer may have made it just now.
    if (error.code !== 'EEXIST' || found !== undefined) throw error;
  });
}

async function append(path: string, content: NewEntry, at: string): Promise<Appended> {
  return withLock(`${path}.lock`, async () => {
    const setAside = await setAsideDamagedEnd(path);
    const log = await readLogFile(path);
    const isNew = log.entries.length === 0;
    const last = log.entries.reduce((most, { entry }) => Math.max(most, entry), 0);
    const known = log.entries.some(
      (entry) => content.kind === 'correction' && entry.entry === content.of && entry.kind === 'run',
    );
    if (content.kind === 'correction' && !known) {
      const message = `The log has no run ${content.of} to correct.`;
      throw new Fault({
        code: 'log-entry-unknown',
        kind: 'usage',
        file: path,
        message,
        remedy: 'See: plateful log list.',
      });
    }
    const entry: LogEntry = { entry: last + 1, at, ...content };
    const file = await open(path, 'a');
    try {
      await file.appendFile(`${JSON.stringify(entry)}\n`);
      await file.sync();
    } finally {
      await file.close();
    }
    if (isNew) await syncFolder(dirname(path));
    return { entry, setAside };
  });
}

/** A new file's name is on the disk only when its folder is; some systems cannot sync a folder, and need not. */
async function syncFolder(path: string): Promise<void> {
  const folder = await open(path, 'r').catch(() => undefined);
  await folder?.sync().catch(() => undefined);
  await folder?.close();
}

async function setAsideDamagedEnd(path: string): Promise<SetAside | undefined> {
  const content = await readFile(path).catch(() => undefined);
  if (content === undefined || content.length === 0 || content.at(-1) === 0x0a) return undefined;
  const end = content.lastIndexOf(0x0a) + 1;
  const damaged = content.subarray(end);
  const aside = `${path}.damaged`;
  const file = await open(aside, 'a');
  await file.appendFile(Buffer.concat([damaged, Buffer.from('\n')]));
  await file.sync();
  await file.close();
  const log = await open(path, 'r+');
  await log.truncate(end);
  await log.sync();
  await log.close();
  return { bytes: damaged.length, file: aside };
}
