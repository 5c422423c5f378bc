import { Fault } from '../src/base/fault.js';
import type { MeshSource } from '../src/base/source.js';
import { fileSource } from './file-source.js';
import type { Io } from './io.js';

/** No text of ours comes near this; a larger file is a mistake, and is refused before memory is taken. */
const largestBytes = 64 * 1024 * 1024;

async function textOf(source: MeshSource, length: number): Promise<string> {
  const decoder = new TextDecoder();
  let text = '';
  let left = length;
  for await (const chunk of source.chunks()) {
    text += decoder.decode(chunk.subarray(0, left), { stream: true });
    left -= chunk.byteLength;
    if (left <= 0) break;
  }
  return text + decoder.decode();
}

/** The beginning of a file, as text. @throws Fault `file-…` */
export async function readHead(path: string, io: Io): Promise<string> {
  return textOf(await fileSource(path, io.cwd), 512);
}

/** A whole text file. @throws Fault `file-…` */
export async function readTextFile(path: string, io: Io): Promise<string> {
  const source = await fileSource(path, io.cwd);
  if (source.byteLength > largestBytes) {
    throw new Fault({
      code: 'file-too-large',
      file: path,
      message: `The file has ${source.byteLength} bytes; a text of this kind has a few thousand.`,
      remedy: 'Check that it is the right file.',
    });
  }
  return textOf(source, source.byteLength);
}

/** Reads a text file through a reader; its faults get the file's name. `-` is standard input. */
export async function readNamedText<T>(path: string, io: Io, read: (text: string) => T): Promise<T> {
  try {
    return read(path === '-' ? await io.readInput() : await readTextFile(path, io));
  } catch (error) {
    if (error instanceof Fault) error.file ??= path === '-' ? 'standard input' : path;
    throw error;
  }
}
