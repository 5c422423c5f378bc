import { plainText } from '../base/plain-text.js';
import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';
import { sideOf } from '../base/wearer-side.js';
import { longestName } from '../reading/name-cells.js';
import { csvField } from './csv.js';

const fileDigits = 16;

const columns: readonly (readonly [string, (cavity: CavityRecord, document: SurveyDocument) => string])[] = [
  ['name', ({ name }) => csvField(listName(name))],
  ['x', ({ centreMm }) => decimal(centreMm[0], 2)],
  ['y', ({ centreMm }) => decimal(centreMm[1], 2)],
  ['side', ({ name }) => sideOf(name) ?? ''],
  ['number', ({ number }) => String(number)],
  ['volumeMm3', ({ volumeMm3 }) => decimal(volumeMm3, 2)],
  ['openingAreaMm2', ({ openingAreaMm2 }) => decimal(openingAreaMm2, 2)],
  ['depthMm', ({ depthMm }) => decimal(depthMm, 3)],
  ['shapeMm', ({ shapeMm }) => shapeMm?.map((value) => decimal(value, 3)).join(' ') ?? ''],
  ['file', (_, { source }) => `sha256:${source.sha256.slice(0, fileDigits)}`],
];

/**
 * The names of a survey as a list to edit: name, place and what the cavity is known again by. `readNames` reads it back.
 * A spreadsheet takes it for UTF-8 by the mark at its beginning, which is there where a name needs it.
 */
export function namesCsv(document: SurveyDocument): string {
  const rows = document.cavities.map((cavity) => columns.map(([, cell]) => cell(cavity, document)));
  const text = [columns.map(([head]) => head), ...rows].map((row) => `${row.join(',')}\r\n`).join('');
  return /[^\t\r\n -~]/.test(text) ? `\ufeff${text}` : text;
}

/** A name as a list may hold it: a line of visible text that fits on a label. */
function listName(name: string): string {
  const text = name.trim().replace(/[\p{Cc}\u2028\u2029\u202a-\u202e\u2066-\u2069\ufffd\p{Cs}]/gu, plainText);
  const letters = [...text];
  return letters.length > longestName ? `${letters.slice(0, longestName - 1).join('')}…` : text;
}

function decimal(value: number | null, places: number): string {
  return value === null ? '' : String(Number(value.toFixed(places)) + 0);
}
