import type { Io } from '../../cli/io.js';
import { run } from '../../cli/run.js';

export interface Outcome {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

/** Runs the command line in-process and returns what a person would see. */
export async function plateful(argv: readonly string[], edges: Partial<Io> = {}): Promise<Outcome> {
  let out = '';
  let err = '';
  const status = await run(argv, {
    out: (text) => {
      out += typeof text === 'string' ? text : new TextDecoder().decode(text);
    },
    err: (text) => {
      err += text;
    },
    outIsTerminal: false,
    errIsTerminal: false,
    columns: 80,
    env: {},
    cwd: import.meta.dirname,
    readInput: async () => '',
    ...edges,
  });
  return { status, out, err };
}
