import { stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { Fault } from '../src/base/fault.js';
import type { MeshSource } from '../src/base/source.js';
import { fileSource } from './file-source.js';

/** The SHA-256 of a file, and which state of it that belongs to. */
export interface FileHash {
  readonly sha256: string;
  /** When the file was last changed before it was hashed, ms. */
  readonly changedMs: number;
}

/**
 * Hashes a file for another thread that reads it at the same time, so that the hash costs that one nothing. It is read
 * from the disk once: whoever comes second finds it in the system's cache.
 * @throws Fault as `fileSource` does; the signal's reason
 */
export async function hashFile(path: string, workingFolder: string, signal: AbortSignal): Promise<FileHash> {
  const source = await fileSource(path, workingFolder);
  const changedMs = await lastChangeMs(path, workingFolder);
  const hash = source.createHash();
  for await (const chunk of source.chunks()) {
    signal.throwIfAborted();
    hash.update(chunk);
  }
  return { sha256: await hash.digestHex(), changedMs };
}

/** The source of a file whose hash is made elsewhere. A file that was changed meanwhile is a fault: the hash is not its own. */
export async function hashedBeside(path: string, workingFolder: string, hash: Promise<FileHash>): Promise<MeshSource> {
  const digestHex = async () => {
    const { sha256, changedMs } = await hash;
    if ((await lastChangeMs(path, workingFolder)) === changedMs) return sha256;
    throw new Fault({
      code: 'file-changed',
      message: 'The file was changed while it was read.',
      remedy: 'Wait until it is written completely, and try again.',
    });
  };
  return { ...(await fileSource(path, workingFolder)), createHash: () => ({ update: () => {}, digestHex }) };
}

async function lastChangeMs(path: string, workingFolder: string): Promise<number> {
  return (await stat(resolve(workingFolder, path))).mtimeMs;
}
