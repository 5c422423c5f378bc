import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { access, open, stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { Fault, type FaultDetails } from '../src/base/fault.js';
import type { Hasher } from '../src/base/sha256.js';
import type { MeshSource } from '../src/base/source.js';

const chunkBytes = 2 ** 21;

/**
 * A mesh source over a file on disk, of any size.
 * @param path as the user gave it, absolute or from the working folder
 * @throws Fault where there is no readable file
 */
export async function fileSource(
  path: string,
  workingFolder = process.cwd(),
): Promise<MeshSource & { createHash(): Hasher }> {
  const place = resolve(workingFolder, path);
  return {
    name: path,
    byteLength: await checkedSize(place, path),
    chunks: () => chunksOf(place, path),
    createHash: () => {
      const hash = createHash('sha256');
      return { update: (bytes) => void hash.update(bytes), digestHex: () => hash.digest('hex') };
    },
  };
}

/** Looked at before it is opened: to open a pipe would wait for its other end. */
async function checkedSize(place: string, name: string): Promise<number> {
  try {
    const about = await stat(place);
    if (about.isDirectory()) throw new Fault({ ...faults.folder, file: name });
    if (!about.isFile()) throw new Fault({ ...faults.notRegular, file: name });
    await access(place, constants.R_OK);
    return about.size;
  } catch (error) {
    throw asFault(error, name);
  }
}

/** The next chunk is on its way while one is used, so there are two buffers. */
async function* chunksOf(place: string, name: string): AsyncGenerator<Uint8Array> {
  let pending: Promise<unknown> = Promise.resolve();
  const file = await open(place).catch((error) => {
    throw asFault(error, name);
  });
  try {
    let [buffer, spare] = [new Uint8Array(chunkBytes), new Uint8Array(chunkBytes)];
    let reading = file.read(buffer, 0, chunkBytes, 0);
    for (let at = 0; ; ) {
      pending = reading;
      const { bytesRead } = await reading;
      if (bytesRead === 0) return;
      at += bytesRead;
      const full = buffer;
      [buffer, spare] = [spare, buffer];
      reading = file.read(buffer, 0, chunkBytes, at);
      pending = reading;
      // Whoever uses the chunk may stop here, or throw; the read under way is awaited below, before the file is closed.
      reading.catch(() => undefined);
      yield full.subarray(0, bytesRead);
    }
  } catch (error) {
    throw asFault(error, name);
  } finally {
    await pending.catch(() => undefined);
    await file.close();
  }
}

const faults = {
  folder: { code: 'file-is-folder', message: 'This is a folder, not a file.', remedy: 'Name the mesh file inside it.' },
  missing: {
    code: 'file-missing',
    message: 'There is no such file.',
    remedy: 'Check the name and the folder you are in.',
  },
  forbidden: {
    code: 'file-no-permission',
    message: 'The file may not be read.',
    remedy: 'Change its permissions, or copy it to a folder of your own.',
  },
  notRegular: {
    code: 'file-not-regular',
    message: 'This is a device or a pipe, not a file.',
    remedy: 'Save the mesh to a file first.',
  },
} satisfies Record<string, FaultDetails>;

const faultOf: Readonly<Record<string, FaultDetails>> = {
  ENOENT: faults.missing,
  ENOTDIR: faults.missing,
  EISDIR: faults.folder,
  EACCES: faults.forbidden,
  EPERM: faults.forbidden,
};

function asFault(error: unknown, name: string): unknown {
  if (!(error instanceof Error) || !('code' in error) || error instanceof Fault) return error;
  const known = faultOf[String(error.code)];
  if (known !== undefined) return new Fault({ ...known, file: name });
  return new Fault({
    code: 'file-unreadable',
    message: `The file cannot be read (${String(error.code)}).`,
    remedy: 'Check the disk or the connection it is on, and try again.',
    file: name,
  });
}
