import { type Memory, ownMemory, sharedMemory } from '../base/memory.js';
import type { TaskOptions } from '../base/source.js';
import type { Threads } from '../base/threads.js';
import { breathe } from './breathe.js';

/**
 * Work over flat arrays that falls into pieces. Each piece fills in a part of its own, and what it fills in is the same
 * whoever does it, and whatever was done before. Loops stand in functions of their module: one that is made anew for each
 * task would be compiled anew, too, which costs more than most tasks.
 */
export interface PieceWork<T, S = T> {
  /** What threads know it by. */
  readonly name: string;
  /** Makes ready, once a thread and task. @returns what `take` is given */
  open(input: T): S;
  /** Does a piece. */
  take(state: S, piece: number): void;
}

/** Work that several threads take pieces of. */
export interface SharedWork<T = unknown> {
  readonly name: string;
  readonly input: T;
  readonly count: number;
  /** One number: the next piece that nobody has taken yet. */
  readonly next: Int32Array;
}

/** The threads that a task can be handed out to in pieces: those that see one another's memory. */
export function threadsFor({ threads }: TaskOptions): Threads | undefined {
  return threads?.sharesMemory ? threads : undefined;
}

/** Where arrays have to lie that pieces of a task are to fill in. */
export function memoryFor(task: TaskOptions): Memory {
  return threadsFor(task) === undefined ? ownMemory : sharedMemory;
}

/**
 * Does all pieces: here, or in threads where the task has such. What they fill in must lie in `memoryFor(task)`.
 * @throws the signal's reason where it was aborted
 */
export async function inPieces<T, S>(work: PieceWork<T, S>, input: T, count: number, task: TaskOptions): Promise<void> {
  const threads = threadsFor(task);
  if (threads === undefined) {
    const pause = breathe(task, work.name);
    const state = work.open(input);
    for (let piece = 0; piece < count; piece++) {
      work.take(state, piece);
      await pause(piece / count);
    }
    return;
  }
  task.signal?.throwIfAborted();
  const shared: SharedWork<T> = { name: work.name, input, count, next: new Int32Array(sharedMemory(4)) };
  // Done with the last piece, not with the last thread: one that is busy with other work would be waited for in vain.
  await new Promise<void>((resolve, reject) => {
    let left = count;
    if (left === 0) resolve();
    for (let k = 0; k < Math.min(threads.size, count); k++) {
      threads.run('pieces', shared).then((done) => {
        left -= done as number;
        if (left === 0) resolve();
      }, reject);
    }
  });
}

/**
 * A thread's share: takes pieces until none is left.
 * @returns how many it took
 */
export function takePieces<T, S>(work: PieceWork<T, S>, { input, count, next }: SharedWork<T>): number {
  let taken = 0;
  let state: S | undefined;
  for (let piece = Atomics.add(next, 0, 1); piece < count; piece = Atomics.add(next, 0, 1)) {
    state ??= work.open(input);
    work.take(state, piece);
    taken++;
  }
  return taken;
}

/** Numbers of a range from piece to piece: `size` each, the last one fewer. */
export function rangeOf(piece: number, size: number, total: number): [number, number] {
  return [piece * size, Math.min(total, (piece + 1) * size)];
}
