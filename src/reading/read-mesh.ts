import { Fault } from '../base/fault.js';
import { Sha256 } from '../base/sha256.js';
import type { MeshSource, TaskOptions } from '../base/source.js';
import type { FileFormat } from '../base/survey-document.js';
import type { LengthUnit } from '../base/units.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { formats } from './formats.js';
import { SniffingParser } from './sniff.js';

/** What a reader returns: the mesh in the file's own unit, and what the file says of itself. */
export interface MeshFile {
  readonly fileFormat: FileFormat;
  /** Size of the file as given (compressed, if it came compressed). */
  readonly bytes: number;
  /** SHA-256 of the file as given, lower-case hex. */
  readonly sha256: string;
  /** The unit the file states, where its format has one. */
  readonly unit?: LengthUnit;
  /** Triangles in the file, before anything is dropped. */
  readonly trianglesInFile: number;
  /** Largest spacing of representable coordinates at this mesh's extent, in file units: the figure the format keeps. */
  readonly coordinateStep: number;
  readonly mesh: TriangleMesh;
}

/** How much is parsed between two looks at the signal. */
const sliceBytes = 2 ** 22;

/**
 * Reads a mesh from its bytes; the format is decided by content.
 * @throws Fault with a code of its own for each kind of broken file
 */
export async function readMesh(source: MeshSource, options: TaskOptions = {}): Promise<MeshFile> {
  const { progress, signal } = options;
  const hash = source.createHash?.() ?? new Sha256();
  const parser = new SniffingParser(formats, source.byteLength);
  let bytes = 0;
  try {
    for await (const chunk of source.chunks()) {
      for (let at = 0; at < chunk.length; at += sliceBytes) {
        signal?.throwIfAborted();
        const slice = chunk.subarray(at, at + sliceBytes);
        bytes += slice.length;
        if (bytes > source.byteLength) throw changed();
        hash.update(slice);
        parser.push(slice);
        progress?.('reading', bytes / source.byteLength);
        // A source that hands over everything at once must not keep an abort from being heard.
        if (signal !== undefined && at + sliceBytes < chunk.length) await turn();
      }
    }
    signal?.throwIfAborted();
    if (bytes !== source.byteLength) throw changed();
    return { bytes, sha256: await hash.digestHex(), ...parser.finish() };
  } catch (error) {
    throw inFile(error, source.name);
  }
}

function changed(): Fault {
  return new Fault({
    code: 'file-changed',
    message: 'The file changed its size while it was read.',
    remedy: 'Wait until it is written completely, and try again.',
  });
}

/** Lets waiting events happen. */
function turn(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve));
}

/** Puts the file's name to a fault; memory that ran out is one too. */
function inFile(error: unknown, name: string): unknown {
  const fault =
    error instanceof RangeError && /array|allocation|length/i.test(error.message)
      ? new Fault({
          code: 'mesh-too-large',
          message: 'The mesh does not fit into memory.',
          remedy: 'Reduce its number of triangles, or read it on a computer with more memory.',
        })
      : error;
  if (fault instanceof Fault) fault.file ??= name;
  return fault;
}
