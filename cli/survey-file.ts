import { availableParallelism } from 'node:os';
import { Fault } from '../src/base/fault.js';
import type { MeshSource } from '../src/base/source.js';
import type { SurveyOptions, SurveyResult } from '../src/survey.js';
import type { Io } from './io.js';
import { progressLine } from './progress-line.js';

export type Survey = (source: MeshSource, options: SurveyOptions) => Promise<SurveyResult>;
export type { SurveyOptions, SurveyResult };

/**
 * Surveys a file on disk, in a thread where there is a script for it; progress is drawn on standard error where that is a terminal.
 * @param threads how many may share the work
 * @throws Fault with the file's name in it
 */
export async function surveyFile(
  path: string,
  options: SurveyOptions,
  io: Io,
  threads = availableParallelism(),
): Promise<SurveyResult> {
  const line = progressLine(io);
  try {
    if (io.surveyThread !== undefined && io.survey === undefined) {
      const { surveyInThread } = await import('./survey-in-thread.js');
      const { signal: _, progress: __, threads: ___, ...plain } = options;
      return await surveyInThread(
        io.surveyThread,
        { path, cwd: io.cwd, options: plain, threads },
        io.signal,
        line.progress,
      );
    }
    const [survey, { fileSource }] = await Promise.all([
      io.survey ?? import('../src/survey.js').then((module) => module.survey),
      import('./file-source.js'),
    ]);
    const source = await fileSource(path, io.cwd);
    return await survey(source, { ...options, signal: io.signal, progress: line.progress });
  } catch (error) {
    if (error instanceof Fault) error.file ??= path;
    throw error;
  } finally {
    line.clear();
  }
}
