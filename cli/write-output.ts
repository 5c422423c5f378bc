import { randomBytes } from 'node:crypto';
import { open, realpath, rename, stat, unlink } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { Fault } from '../src/base/fault.js';

/** A file that a command makes. */
export interface Output {
  /** As the user named it. */
  readonly path: string;
  readonly data: string | Uint8Array;
}

interface Target {
  readonly output: Output;
  readonly path: string;
  /** A device or a pipe is written to; a file is replaced. */
  readonly replace: boolean;
}

function unwritable(output: Output, message: string, remedy: string): Fault {
  return new Fault({ code: 'output-not-written', kind: 'usage', file: output.path, message, remedy });
}

async function find(output: Output, cwd: string): Promise<Target> {
  const named = resolve(cwd, output.path);
  const found = await stat(named).catch(() => undefined);
  if (found === undefined) return { output, path: named, replace: true };
  if (found.isDirectory()) throw unwritable(output, 'This is a folder.', 'Name a file in it.');
  // A link is followed, so that the file it points to is replaced and not the link.
  return { output, path: await realpath(named), replace: found.isFile() };
}

/** Why a file could not be written, for the person. */
export function reason(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code ?? '';
  const known: Record<string, string> = {
    ENOENT: 'Its folder does not exist.',
    EACCES: 'The folder or the file may not be written to.',
    EPERM: 'The folder or the file may not be written to.',
    EROFS: 'The disk may only be read.',
    ENOSPC: 'The disk is full.',
    ENOTDIR: 'Its folder is a file.',
    ENAMETOOLONG: 'The name is too long.',
  };
  return known[code] ?? `It could not be written (${code || (error as Error).message}).`;
}

/**
 * Writes files whole or not at all: each first under a name of its own beside its place, and only when all of them are
 * on the disk do they take their names.
 * @param inputs files that were read, which are never replaced
 * @throws Fault `output-not-written`, `output-is-input`, `output-named-twice`
 */
export async function writeOutputs(outputs: readonly Output[], inputs: readonly string[], cwd: string): Promise<void> {
  const targets = await Promise.all(outputs.map((output) => find(output, cwd)));
  const sources = await Promise.all(inputs.map((path) => realpath(resolve(cwd, path)).catch(() => resolve(cwd, path))));
  for (const [i, { output, path }] of targets.entries()) {
    const fault = (code: string, message: string): Fault =>
      new Fault({ code, kind: 'usage', file: output.path, message, remedy: 'Give the output a name of its own.' });
    if (sources.includes(path)) throw fault('output-is-input', 'This is the file that is read.');
    if (targets.findIndex((other) => other.path === path) < i)
      throw fault('output-named-twice', 'Two outputs go here.');
  }
  const parts = new Map<Target, string>();
  let current = outputs[0];
  try {
    for (const target of targets) {
      current = target.output;
      const part = join(
        dirname(target.path),
        `.${basename(target.path).slice(0, 100)}.${randomBytes(4).toString('hex')}`,
      );
      const file = target.replace ? await open(part, 'wx') : await open(target.path, 'w');
      if (target.replace) parts.set(target, part);
      try {
        await file.writeFile(target.output.data);
        if (target.replace) await file.sync();
      } finally {
        await file.close();
      }
    }
    for (const [target, part] of parts) {
      current = target.output;
      await rename(part, target.path);
      parts.delete(target);
    }
  } catch (error) {
    await Promise.all([...parts.values()].map((part) => unlink(part).catch(() => undefined)));
    throw unwritable(current!, reason(error), 'Nothing was written there; choose another place with -o.');
  }
}
