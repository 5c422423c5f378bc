import { Worker } from 'node:worker_threads';
import type { JobAnswer, Thread } from '../src/base/threads.js';

/** Starts a thread that does jobs of a survey (cli/measure-thread.ts). */
export function startMeasureThread(script = new URL('./measure-thread.js', import.meta.url)): Thread {
  const worker = new Worker(script);
  return {
    post: (message) => worker.postMessage(message),
    onAnswer(take) {
      worker.removeAllListeners('message');
      worker.on('message', (answer: JobAnswer) => take(answer));
    },
    onDeath(take) {
      worker.removeAllListeners('error');
      worker.on('error', take);
    },
    end: () => void worker.terminate(),
  };
}
