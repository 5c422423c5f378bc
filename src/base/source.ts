import type { Hasher } from './sha256.js';
import type { Threads } from './threads.js';

/** Where a mesh comes from: a file on disk, a dropped file, bytes in memory. Read once, in chunks. */
export interface MeshSource {
  /** Name as the user gave it; shown, and its ending may be quoted, never trusted to decide the format. */
  readonly name: string;
  /** Size in bytes, known beforehand. */
  readonly byteLength: number;
  /** The bytes in order. Chunks may be of any length; the consumer does not keep or change them. */
  chunks(): AsyncIterable<Uint8Array>;
  /** A SHA-256 that is faster than the one in plain JavaScript, where the host has one. */
  createHash?(): Hasher;
}

/** Progress of a long task: a stage's name and how much of it is done, 0 to 1. */
export type Progress = (stage: string, done: number) => void;

export interface TaskOptions {
  readonly signal?: AbortSignal | undefined;
  readonly progress?: Progress | undefined;
  /** Threads to share the work with; without them it is done where it is asked for, with the same answer. */
  readonly threads?: Threads | undefined;
}

/** A source over bytes that are already in memory. */
export function bytesSource(name: string, bytes: Uint8Array): MeshSource {
  return {
    name,
    byteLength: bytes.byteLength,
    async *chunks() {
      yield bytes;
    },
  };
}
