import type { FileFormat } from '../base/survey-document.js';
import type { LengthUnit } from '../base/units.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** The beginning of a file: what a format is recognised by. */
export interface Head {
  /** The first bytes: all of a small file, otherwise at least `headBytes` of them. */
  readonly bytes: Uint8Array;
  /** Size of the whole, where it is known beforehand (of what a gzip holds it is not). */
  readonly byteLength: number | undefined;
  /** The first bytes are printable characters and white space only. */
  readonly isText: boolean;
  /** The same bytes as characters 0 to 255, without a byte order mark. */
  readonly text: string;
}

export const headBytes = 65536;

/** Takes a file's bytes in order, in chunks of any length, and makes a mesh of them. Throws a Fault as soon as it can. */
export interface MeshParser {
  push(bytes: Uint8Array): void;
  finish(): ParsedMesh;
}

export interface ParsedMesh {
  readonly fileFormat: FileFormat;
  readonly unit?: LengthUnit;
  readonly trianglesInFile: number;
  readonly coordinateStep: number;
  readonly mesh: TriangleMesh;
}

/**
 * How sure a format is that a file is its own. `certain`: nothing else fits. `likely`: it is, unless another format is
 * certain. `possible`: worth a try where no other format wants it, so that a damaged file gets a helpful fault.
 */
export type Recognition = 'certain' | 'likely' | 'possible' | 'no';

/** One file format (or a wrapping, such as gzip): one file, and one line in `formats.ts`. */
export interface MeshFormat {
  recognise(head: Head): Recognition;
  /** @param openInner makes a parser that recognises the format of what is wrapped */
  open(head: Head, openInner: () => MeshParser): MeshParser;
}
