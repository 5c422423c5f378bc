import type { Worker } from 'node:worker_threads';
import { Fault } from '../src/base/fault.js';
import type { Progress } from '../src/base/source.js';
import type { SurveyResult } from '../src/survey.js';
import { hashFile } from './hash-beside.js';
import type { FromThread, ToThread } from './survey-thread.js';

/**
 * Surveys a file in a thread of its own. The terminal stays awake meanwhile, Ctrl-C ends the work at once, and a thread
 * that dies for want of memory takes neither the program nor another file with it. The file's hash is made here, while the
 * thread starts and reads.
 * @throws Fault as the survey does, and `out-of-memory`
 */
export function surveyInThread(
  startThread: () => Worker,
  task: ToThread,
  signal: AbortSignal | undefined,
  progress: Progress,
): Promise<SurveyResult> {
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted();
    const worker = startThread();
    const settled = new AbortController();
    const settle = (how: () => void): void => {
      signal?.removeEventListener('abort', stop);
      how();
      settled.abort();
      void worker.terminate();
    };
    const stop = (): void => settle(() => reject(signal?.reason));
    signal?.addEventListener('abort', stop, { once: true });
    worker.on('message', (message: FromThread) => {
      if ('progress' in message) progress(...message.progress);
      else if ('result' in message) settle(() => resolve(message.result));
      else settle(() => reject('fault' in message ? new Fault(message.fault) : message.error));
    });
    worker.once('error', (error: NodeJS.ErrnoException) => {
      settle(() => reject(error.code === 'ERR_WORKER_OUT_OF_MEMORY' ? outOfMemory(task.path) : error));
    });
    worker.once('exit', () => settle(() => reject(new Error('the survey ended without an answer'))));
    worker.postMessage(task);
    hashFile(task.path, task.cwd, settled.signal).then(
      (hash) => worker.postMessage(hash),
      (error) => settle(() => reject(error)),
    );
  });
}

function outOfMemory(file: string): Fault {
  return new Fault({
    code: 'out-of-memory',
    file,
    message: 'There is not enough memory for a mesh of this size.',
    remedy: 'Close other programs, or export the plate with fewer triangles.',
  });
}
