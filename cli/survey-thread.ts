import { parentPort, workerData } from 'node:worker_threads';
import { Fault, type FaultDetails } from '../src/base/fault.js';
import type { SurveyOptions, SurveyResult } from '../src/survey.js';
import { survey } from '../src/survey.js';
import { fileSource } from './file-source.js';

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
}

const post = (message: FromThread, transfer: ArrayBuffer[] = []): void => parentPort?.postMessage(message, transfer);

/** The buffers of all typed arrays in a value, so that they change hands instead of being copied. */
function buffersOf(value: unknown, found = new Set<ArrayBuffer>()): Set<ArrayBuffer> {
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer) found.add(value.buffer);
  } else if (typeof value === 'object' && value !== null) {
    for (const part of Object.values(value)) if (typeof part === 'object') buffersOf(part, found);
  }
  return found;
}

const progressMs = 40;
let toldAt = 0;

const { path, cwd, options } = workerData as ToThread;
try {
  const result = await survey(await fileSource(path, cwd), {
    ...options,
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
    const { code, message, where, remedy, file, kind } = error;
    const place = { ...(where && { where }), ...(remedy && { remedy }), ...(file && { file }) };
    post({ fault: { code, message, kind, ...place } });
  } else post({ error: error instanceof Error ? error : new Error(String(error)) });
}
