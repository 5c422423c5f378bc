import type { Command } from 'commander';
import type { Io } from './io.js';

/** One command of the command line: one file, and one line in `commands.ts`. */
export interface CommandSpec {
  /**
   * Declares arguments and options, and sets the action. Heavy modules are imported inside the action, so that
   * `--help` stays quick. The action reports its exit status through `finish`.
   */
  declare(program: Command, io: Io, finish: (status: number) => void): void;
}
