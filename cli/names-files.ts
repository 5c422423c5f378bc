import { stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { Fault } from '../src/base/fault.js';
import { plainText } from '../src/base/plain-text.js';
import type { SurveyDocument } from '../src/base/survey-document.js';
import { type NameList, readNames } from '../src/reading/name-list.js';
import type { Io } from './io.js';
import { readNamedText } from './read-text-file.js';

export function readNamesFile(path: string, io: Io): Promise<NameList> {
  return readNamedText(path, io, readNames);
}

/**
 * Looks at what a new list would replace: names that a person wrote are not lost without a word.
 * @returns what to tell once the list is written; undefined where nothing is replaced
 * @throws Fault `names-would-be-lost`
 */
export async function replacedNames(path: string, document: SurveyDocument, io: Io): Promise<string | undefined> {
  const old = await stat(resolve(io.cwd, path)).catch(() => undefined);
  if (old === undefined || !old.isFile() || old.size === 0) return undefined;
  const kept = new Set(document.cavities.map(({ name }) => name.normalize('NFC')));
  const fault = (message: string, remedy: string) =>
    new Fault({ code: 'names-would-be-lost', kind: 'usage', file: path, message, remedy });
  let list: NameList;
  try {
    list = await readNamesFile(path, io);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    if (error.code === 'names-none') return `${plainText(path)}: replaced; the list before held no names.\n`;
    throw fault('This file is there already, and is no list of names.', 'Choose another name.');
  }
  const names = list.entries.map(({ name }) => name).filter((name) => name !== '');
  const lost = names.filter((name) => !kept.has(name));
  if (lost.length > 0) {
    const shown = `${lost.slice(0, 3).map((name) => `'${plainText(name)}'`)}${lost.length > 3 ? ' …' : ''}`;
    throw fault(
      `This list is there already and holds names that the new one would not have: ${shown.replaceAll(',', ', ')}.`,
      'To use them, add --names with it and write to another name; to drop them, delete the file.',
    );
  }
  return `${plainText(path)}: replaced; all ${names.length} names of the list before are in it.\n`;
}
