import type { Progress } from '../src/base/source.js';
import { shorten } from '../src/sheet/table.js';
import type { Io } from './io.js';

export interface ProgressLine {
  readonly progress: Progress;
  /** Takes the line off the screen. */
  clear(): void;
}

const redrawMs = 80;

/** One line on standard error that is redrawn in place; nothing where standard error is not a terminal. */
export function progressLine(io: Io, label = ''): ProgressLine {
  if (!io.errIsTerminal || io.env.TERM === 'dumb') return { progress: () => {}, clear: () => {} };
  let drawn = '';
  let at = 0;
  return {
    progress: (stage, done) => {
      const now = performance.now();
      if (now - at < redrawMs) return;
      at = now;
      // A stage that tells only its name stays at 0, which is not a figure.
      const percent = done > 0 ? `${Math.floor(100 * Math.min(1, done))} %` : '';
      const line = shorten(`${label}${stage} ${percent}`.trimEnd(), io.columns - 1);
      if (line === drawn) return;
      drawn = line;
      io.err(`\r\u001b[K${line}`);
    },
    clear: () => {
      if (drawn !== '') io.err('\r\u001b[K');
      drawn = '';
    },
  };
}
