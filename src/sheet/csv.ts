import { plainText } from '../base/plain-text.js';
import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';

type Cell = string | number | null | undefined;

/**
 * A text as a field after RFC 4180. A spreadsheet runs text that begins with = + - or @ as a formula, so such a name gets
 * an apostrophe before it.
 */
export function csvField(text: string): string {
  const kept = text.replace(/^[=+\-@]/, "'$&");
  return /[",\r\n]/.test(kept) ? `"${kept.replaceAll('"', '""')}"` : kept;
}

function field(cell: Cell): string {
  if (cell === null || cell === undefined) return '';
  return typeof cell === 'number' ? String(cell) : csvField(plainText(cell));
}

/** Rows as CSV (RFC 4180: lines end in CR LF); what does not exist is an empty field. */
export function csvText(head: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return [head, ...rows].map((row) => `${row.map(field).join(',')}\r\n`).join('');
}

const columns: readonly (readonly [string, (cavity: CavityRecord) => Cell])[] = [
  ['number', (c) => c.number],
  ['name', (c) => c.name],
  ['centreXMm', (c) => c.centreMm[0]],
  ['centreYMm', (c) => c.centreMm[1]],
  ['volumeMm3', (c) => c.volumeMm3],
  ['volumeCheckMm3', (c) => c.volumeCheckMm3],
  ['volumeUncertaintyMm3', (c) => c.volumeUncertaintyMm3],
  ['openingAreaMm2', (c) => c.openingAreaMm2],
  ['rimLengthMm', (c) => c.rimLengthMm],
  ['wallAreaMm2', (c) => c.wallAreaMm2],
  ['flashAreaMm2', (c) => c.flashAreaMm2],
  ['nearestRimMm', (c) => c.nearestRimMm],
  ['depthMm', (c) => c.depthMm],
  ['thicknessMinMm', (c) => c.thickness?.minMm],
  ['thicknessMedianMm', (c) => c.thickness?.medianMm],
  ['thicknessMaxMm', (c) => c.thickness?.maxMm],
  ['edgeAngleDeg', (c) => c.thickness?.edgeAngleDeg],
  ['thinZones', (c) => c.thinZones?.length],
  ['undercutMm3', (c) => c.undercut?.volumeMm3],
  ['overhangMm', (c) => c.undercut?.overhangMm],
  ['stretchPct', (c) => c.undercut?.stretchPct],
  ['airTrapMm3', (c) => c.airTraps?.reduce((sum, trap) => sum + trap.volumeMm3, 0)],
];

/** The cavities of a survey, one a line. The head carries the units in its names. */
export function surveyCsv(document: SurveyDocument): string {
  return csvText(
    columns.map(([name]) => name),
    document.cavities.map((cavity) => columns.map(([, value]) => value(cavity))),
  );
}
