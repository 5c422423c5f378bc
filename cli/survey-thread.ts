import { on } from 'node:events';
import { parentPort } from 'node:worker_threads';
import { Fault, type FaultDetails } from '../src/base/fault.js';
import { buffersOf, ThreadPool } from '../src/base/threads.js';
import type { SurveyOptions, SurveyResult } from '../src/survey.js';
import { survey } from '../src/survey.js';
import { type FileHash, hashedBeside } from './hash-beside.js';
import { startMeasureThread } from './measure-threads.js';

/** The thread that surveys one file: progress, and in the end one of result, fault and error. */
export type FromThread =
  | { readonly progress: readonly [stage: string, done: number] }
  | { readonly result: SurveyResult }
  | { readonly fault: FaultDetails }
  | { readonly error: Error };

export interface ToThread {
  readonly path: string;
  readonly cwd: string;
  readonly options: SurveyOptions;
  /** How many threads may share the work. */
  readonly threads: number;
}

const post = (message: FromThread, transfer: ArrayBuffer[] = []): void => parentPort?.postMessage(message, transfer);

const progressMs = 40;
let toldAt = 0;

// The keeper of this thread sends the task, then the hash, and nothing else.
const messages = on(parentPort!, 'message');
const next = async () => ((await messages.next()).value as [unknown])[0];
const { path, cwd, options, threads: size } = (await next()) as ToThread;
const hash = next().then((value) => {
  // No more is waited for, so that a survey which never ends cannot keep the thread alive.
  void messages.return?.();
  return value as FileHash;
});
const threads = size > 1 ? new ThreadPool(size, true, () => startMeasureThread()) : undefined;
try {
  const result = await survey(await hashedBeside(path, cwd, hash), {
    ...options,
    threads,
    progress: (stage, done) => {
      const now = performance.now();
      if (now - toldAt < progressMs) return;
      toldAt = now;
      post({ progress: [stage, done] });
    },
  });
  post({ result }, [...buffersOf(result)]);
} catch (error) {
  if (error instanceof Fault) {
    post({ fault: error.toDetails() });
  } else post({ error: error instanceof Error ? error : new Error(String(error)) });
}
