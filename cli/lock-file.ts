import { open, readFile, stat, unlink } from 'node:fs/promises';
import { hostname } from 'node:os';
import { setTimeout as pause } from 'node:timers/promises';
import { Fault } from '../src/base/fault.js';

/** How long another writer is waited for; writing a line takes some milliseconds. */
const patienceMs = 10_000;

async function create(path: string): Promise<boolean> {
  try {
    const file = await open(path, 'wx');
    await file.writeFile(`${process.pid} ${hostname()}`);
    await file.close();
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

/** Whether the writer of a lock is gone. One on another machine cannot be asked, and counts as there. */
async function isOrphan(path: string): Promise<boolean> {
  const content = await readFile(path, 'utf8').catch(() => undefined);
  if (content === undefined) return false;
  const [pid, host] = content.split(' ');
  if (host === undefined) {
    // Its writer's number is being written, or the writer was killed just then: nobody takes a second for that.
    const found = await stat(path).catch(() => undefined);
    return found !== undefined && Date.now() - found.mtimeMs > 1000;
  }
  if (host !== hostname()) return false;
  try {
    process.kill(Number(pid), 0);
    return false;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'ESRCH';
  }
}

/**
 * Takes an orphaned lock away, under a lock of its own: between the look at the orphan and its removal nobody else may
 * have removed it and put a living one there.
 */
async function removeOrphan(path: string): Promise<void> {
  const guard = `${path}.guard`;
  if (!(await create(guard))) {
    if (await isOrphan(guard)) await unlink(guard).catch(() => undefined);
    return;
  }
  try {
    if (await isOrphan(path)) await unlink(path).catch(() => undefined);
  } finally {
    await unlink(guard).catch(() => undefined);
  }
}

/**
 * Runs a task while no other process runs one under the same lock. The lock of a killed process is taken over.
 * @throws Fault `log-busy`
 */
export async function withLock<T>(path: string, task: () => Promise<T>): Promise<T> {
  const end = Date.now() + patienceMs;
  while (!(await create(path))) {
    if (await isOrphan(path)) await removeOrphan(path);
    if (Date.now() > end) {
      throw new Fault({
        code: 'log-busy',
        file: path,
        message: 'Another plateful is writing to this log.',
        remedy: 'Wait for it; if there is none, delete this lock file.',
      });
    }
    await pause(5 + 10 * Math.random());
  }
  try {
    return await task();
  } finally {
    await unlink(path).catch(() => undefined);
  }
}
