import { availableParallelism } from 'node:os';
import { Fault } from '../src/base/fault.js';
import { limiter } from '../src/base/limiter.js';
import { plainText } from '../src/base/plain-text.js';
import { jsonLine, roundSurvey } from '../src/sheet/json.js';
import { exitStatus, type Io } from './io.js';
import { progressLine } from './progress-line.js';
import { type SurveyOptions, surveyFile } from './survey-file.js';

/**
 * Surveys many files, as many at a time as there are cores, and prints one document a line in the order of the files. A
 * file that fails gives one line on standard error and stops only itself.
 * @returns the highest exit status of all
 */
export async function surveyLines(files: readonly string[], options: SurveyOptions, io: Io): Promise<number> {
  const bar = progressLine(io);
  // One line cannot show the stages of several files: it shows the last one begun.
  const quiet: Io = { ...io, errIsTerminal: false };
  const cores = availableParallelism();
  const limited = limiter(io.surveyThread === undefined ? 1 : cores);
  // Few files leave cores over for each of them.
  const threads = Math.max(1, Math.floor(cores / files.length));
  const surveys = files.map((path, i) =>
    limited(async () => {
      io.signal?.throwIfAborted();
      bar.progress(`${i + 1} of ${files.length}: ${plainText(path)}`, 0);
      return jsonLine(roundSurvey((await surveyFile(path, options, quiet, threads)).document));
    }),
  );
  // What is not awaited yet when the work is stopped must not end the process by itself.
  for (const line of surveys) line.catch(() => {});
  let status: number = exitStatus.done;
  try {
    for (const [i, survey] of surveys.entries()) {
      try {
        const line = await survey;
        bar.clear();
        await io.out(line);
      } catch (error) {
        bar.clear();
        if (io.signal?.aborted) throw error;
        status = Math.max(status, tell(files[i]!, error, io));
      }
    }
  } finally {
    bar.clear();
  }
  return status;
}

/** Says what went wrong with one file, and what that is worth as an exit status. */
function tell(path: string, error: unknown, io: Io): number {
  if (error instanceof Fault) {
    io.err(`${plainText(error.toLine())}\n`);
    return error.kind === 'usage' ? exitStatus.usage : exitStatus.input;
  }
  const what = error instanceof Error ? error.message : String(error);
  io.err(`${plainText(`${path}: a fault in plateful, not in your file (${what}). Please report it. [internal]`)}\n`);
  return exitStatus.internal;
}
