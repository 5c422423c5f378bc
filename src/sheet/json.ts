import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';

/** A nanometre, a thousandth of a cubic micrometre's side: far below what any mesh holds, far above float dust. */
const decimals = 6;
/** A rigid motion must stay rigid after rounding. */
const matrixDecimals = 12;
const matrices = new Set(['toPlate', 'toPiece']);

function round(value: number, places: number): number {
  const step = 10 ** places;
  const scaled = Math.round(value * step);
  // Past 2^53 there are no decimals left to round.
  return Number.isSafeInteger(scaled) ? scaled / step + 0 : value;
}

/** A copy with every number rounded; key order is kept. A number that is not finite is our own fault, and is thrown. */
function rounded(value: unknown, path: string, places: number): unknown {
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new Error(`${path} is not a finite number`);
    return round(value, places);
  }
  if (Array.isArray(value)) return value.map((entry, i) => rounded(entry, `${path}[${i}]`, places));
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(
      Object.entries(value)
        .filter(([, entry]) => entry !== undefined)
        .map(([key, entry]) => [key, rounded(entry, `${path}.${key}`, matrices.has(key) ? matrixDecimals : places)]),
    );
  }
  return value;
}

function total(cavities: readonly CavityRecord[], key: 'volumeMm3' | 'openingAreaMm2' | 'flashAreaMm2'): number | null {
  let sum = 0;
  for (const cavity of cavities) {
    const value = cavity[key];
    if (value === null) return null;
    sum += value;
  }
  return round(sum, decimals);
}

/** The survey document as it is written: numbers rounded, and the totals exactly the sums of the rounded figures. */
export function roundSurvey(document: SurveyDocument): SurveyDocument {
  const copy = rounded(document, 'survey', decimals) as SurveyDocument;
  for (const key of ['volumeMm3', 'openingAreaMm2', 'flashAreaMm2'] as const) {
    // A total the survey does not trust stays null, whatever its parts say.
    if (copy.totals[key] !== null) copy.totals[key] = total(copy.cavities, key);
  }
  return copy;
}

const numbersOnLines = /\[\n\s+(-?[\d.eE+-]+(?:,\n\s+-?[\d.eE+-]+)*)\n\s+\]/g;

/** One JSON document as text: two blanks a level, lists of numbers on one line, a line end after it. */
export function jsonText(document: unknown): string {
  const text = JSON.stringify(rounded(document, 'document', decimals), null, 2);
  return `${text.replace(numbersOnLines, (_, list: string) => `[${list.replace(/,\n\s+/g, ', ')}]`)}\n`;
}

/** The document on one line, for a stream of documents (JSON Lines). */
export function jsonLine(document: unknown): string {
  return `${JSON.stringify(rounded(document, 'document', decimals))}\n`;
}
