import type { TaskOptions } from '../base/source.js';

/** A long loop may hold its thread this long before it lets others have a turn. */
const turnMs = 40;

/**
 * For long loops: `await pause(done)` every few thousand steps reports progress, lets the thread's other work (a
 * cancel among it) have a turn now and then, and throws the signal's reason once it has been aborted.
 */
export function breathe(task: TaskOptions, stage: string): (done: number) => Promise<void> {
  let last = Date.now();
  return async (done) => {
    task.signal?.throwIfAborted();
    if (Date.now() - last < turnMs) return;
    task.progress?.(stage, done);
    await new Promise((resolve) => setTimeout(resolve));
    last = Date.now();
    task.signal?.throwIfAborted();
  };
}
