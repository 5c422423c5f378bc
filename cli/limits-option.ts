import type { Limit } from '../src/sheet/limits.js';
import type { Io } from './io.js';

/** The limits of `--must-pass`: written there (they hold a < or a >), or in the file it names. */
export async function limitsOf(text: string, io: Io): Promise<Limit[]> {
  const { readLimits } = await import('../src/sheet/limits.js');
  if (/[<>]/.test(text)) return readLimits(text);
  const { readTextFile } = await import('./read-text-file.js');
  return readLimits(await readTextFile(text, io), text);
}
