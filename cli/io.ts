import type { Worker } from 'node:worker_threads';
import type { Survey } from './survey-file.js';

/** The edges of the command line, injected, so that a test can run it in-process. */
export interface Io {
  /** Writes to standard output; resolves when the text was taken. */
  out(text: string | Uint8Array): Promise<void> | void;
  err(text: string): void;
  readonly outIsTerminal: boolean;
  readonly errIsTerminal: boolean;
  /** Width of the terminal in characters, 80 where it is not known. */
  readonly columns: number;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly cwd: string;
  /** Standard input, whole. */
  readInput(): Promise<string>;
  /** Aborted when the person stops the program. */
  readonly signal?: AbortSignal | undefined;
  /** Starts a thread that a survey runs in; without it the survey runs in this one. */
  readonly surveyThread?: () => Worker;
  /** Takes the place of the survey, in tests of the command line alone. */
  readonly survey?: Survey;
}

/**
 * Exit status of a command. `cancelled` is what a shell expects after Ctrl-C (128 + 2); `internal` is a fault of ours
 * (EX_SOFTWARE of sysexits.h).
 */
export const exitStatus = { done: 0, usage: 1, input: 2, limit: 3, internal: 70, cancelled: 130 } as const;
