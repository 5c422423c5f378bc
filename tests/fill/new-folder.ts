import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A new folder for the files of one test. */
export function newFolder(files: Record<string, string> = {}): string {
  const folder = mkdtempSync(join(tmpdir(), 'plateful-'));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
}
