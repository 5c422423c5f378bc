import { colourPaint, noPaint, type Paint } from '../src/sheet/paint.js';
import type { Io } from './io.js';

/**
 * Colour on standard output: only on a terminal that has it, and never where NO_COLOR is set (no-color.org: to anything
 * but the empty text).
 */
export function outPaint(io: Io): Paint {
  const { NO_COLOR, TERM, COLORTERM } = io.env;
  if (!io.outIsTerminal || (NO_COLOR !== undefined && NO_COLOR !== '')) return noPaint;
  return COLORTERM !== undefined || TERM?.includes('256color') ? colourPaint : noPaint;
}

/** Places a line of text may take: lines over a hundred are hard to read. */
export function outWidth(io: Io): number {
  return Math.min(100, Math.max(40, io.columns));
}
