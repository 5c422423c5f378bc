import { Fault } from '../base/fault.js';
import { plainText } from '../base/plain-text.js';
import { sideOf, sideWord } from '../base/wearer-side.js';

/** The cells of a list of names, one by one: what is in each is checked, and named with its line where it is wrong. */

/** A longer name fits on no label. */
export const longestName = 80;

/** What a cavity is called that nobody has named; in a list it stands for no name. */
const unnamed = /^(cavity-\d+|[-–—]?)$/;

/** Control characters, marks that turn the direction of writing, and what a wrong encoding leaves. */
const unwritable = /[\p{Cc}\u2028\u2029\u202a-\u202e\u2066-\u2069\ufffd\p{Cs}]/u;

export function checkedName(cell: string, line: number): string {
  // An apostrophe keeps a spreadsheet from running a name as a formula; it is not part of the name.
  const name = cell
    .trim()
    .replace(/^'(?=[=+\-@])/, '')
    .normalize('NFC');
  if (unnamed.test(name)) return '';
  const length = [...name].length;
  if (length > longestName) {
    const message = `The name ${quoted(name)} has ${length} characters; ${longestName} fit on a label.`;
    throw fault('names-too-long', line, message, 'Shorten it.');
  }
  const odd = unwritable.exec(name)?.[0];
  if (odd !== undefined) {
    const broken = odd === '\ufffd';
    const message = `The name ${quoted(name)} holds a character that cannot be ${broken ? 'read' : 'shown'}.`;
    throw fault('names-character', line, message, broken ? 'Save the file in UTF-8.' : 'Type the name anew.');
  }
  if (/^\d+$/.test(name)) {
    const message = `The name ${quoted(name)} would be taken for the number of a cavity.`;
    throw fault('names-only-digits', line, message, 'Put a word before it.');
  }
  return name;
}

/** The name with its side in it, wherever the side was written. */
export function sidedName(name: string, cell: string, line: number): string {
  if (/^([-–—]|both|middle|centre|center|none)?$/i.test(cell)) return name;
  const side = sideWord(cell);
  if (side === undefined) {
    throw fault('names-side', line, `${quoted(cell)} is no side.`, "Write left or right (the wearer's), or nothing.");
  }
  const own = sideOf(name);
  if (own === side || name === '') return name;
  if (own === null) return `${name} ${side}`;
  const message = `${quoted(name)} says ${own}, but the column side says ${side}.`;
  throw fault('names-side', line, message, "Left and right are the wearer's: correct one of the two.");
}

/** A number as spreadsheets write it: with a decimal comma where semicolons or tabs part the cells. */
export function realNumber(cell: string, separator: string): number | undefined {
  const text = separator === ',' ? cell.trim() : cell.trim().replace(',', '.');
  const value = /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(text) ? Number(text) : undefined;
  return value === undefined || Math.abs(value) < 1e9 ? value : undefined;
}

export function quoted(text: string): string {
  const short = [...text.trim()];
  return `'${plainText(short.slice(0, 40).join(''))}${short.length > 40 ? '…' : ''}'`;
}

export function fault(code: string, line: number | undefined, message: string, remedy: string): Fault {
  return new Fault({ code, ...(line !== undefined && { where: `line ${line}` }), message, remedy });
}
