import { plainText } from '../base/plain-text.js';
import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';
import { fixed, plusMinus } from './figures.js';
import type { Column } from './table.js';

/** The measures of a cavity as they are shown everywhere: one place decides unit and decimals of each. */

export const mlPerMm3 = 1e-3;
export const cm2PerMm2 = 1e-2;

function scaled(value: number | null | undefined, factor: number): number | null {
  return value === null || value === undefined ? null : value * factor;
}

/** Decimals of a millilitre that leave the smallest cavity two digits. */
function volumeDecimals(cavities: readonly CavityRecord[]): number {
  const least = Math.min(...cavities.map((cavity) => scaled(cavity.volumeMm3, mlPerMm3) ?? 1), 1);
  return Math.min(4, Math.max(2, 1 + Math.ceil(-Math.log10(least))));
}

export interface Measure extends Column {
  readonly value: (cavity: CavityRecord) => string;
  readonly sum?: (document: SurveyDocument) => string;
  /** The column is left out where no cavity has the figure. */
  readonly known?: (cavity: CavityRecord) => boolean;
}

export const identity: Measure[] = [
  { head: ['no'], align: 'right', value: (c) => String(c.number) },
  { head: ['piece'], least: 8, value: (c) => plainText(c.name), sum: () => 'all' },
];

export function mainMeasures(cavities: readonly CavityRecord[]): Measure[] {
  const places = volumeDecimals(cavities);
  return [
    {
      head: ['volume', 'ml'],
      align: 'right',
      value: (c) => fixed(scaled(c.volumeMm3, mlPerMm3), places),
      sum: (d) => fixed(scaled(d.totals.volumeMm3, mlPerMm3), places),
    },
    { head: ['', 'ml'], align: 'right', value: (c) => plusMinus(scaled(c.volumeUncertaintyMm3, mlPerMm3), places) },
    {
      head: ['opening', 'cm²'],
      align: 'right',
      value: (c) => fixed(scaled(c.openingAreaMm2, cm2PerMm2), 2),
      sum: (d) => fixed(scaled(d.totals.openingAreaMm2, cm2PerMm2), 2),
    },
    { head: ['rim', 'mm'], align: 'right', value: (c) => fixed(c.rimLengthMm, 1) },
    {
      head: ['flash', 'cm²'],
      align: 'right',
      value: (c) => fixed(scaled(c.flashAreaMm2, cm2PerMm2), 2),
      sum: (d) => fixed(scaled(d.totals.flashAreaMm2, cm2PerMm2), 2),
    },
    { head: ['depth', 'mm'], align: 'right', value: (c) => fixed(c.depthMm, 2) },
    { head: ['gap', 'mm'], align: 'right', value: (c) => fixed(c.nearestRimMm, 1) },
  ];
}

function optional(
  head: readonly string[],
  decimals: number,
  get: (c: CavityRecord) => number | null | undefined,
): Measure {
  return {
    head,
    align: 'right',
    value: (c) => fixed(get(c), decimals),
    known: (c) => get(c) !== null && get(c) !== undefined,
  };
}

const stations = [0.5, 1, 2];
export const edgeMeasures: readonly Measure[] = [
  optional(['least', 'mm'], 2, (c) => c.thickness?.minMm),
  optional(['median', 'mm'], 2, (c) => c.thickness?.medianMm),
  optional(['most', 'mm'], 2, (c) => c.thickness?.maxMm),
  optional(['edge', '°'], 1, (c) => c.thickness?.edgeAngleDeg),
  ...stations.map((inMm) =>
    optional(
      [`${inMm} mm`, 'in', 'mm'],
      2,
      (c) => c.thickness?.taper?.find((s) => Math.abs(s.inMm - inMm) < 1e-6)?.medianMm,
    ),
  ),
  optional(['undercut', 'mm³'], 0, (c) => c.undercut?.volumeMm3),
  optional(['stretch', '%'], 0, (c) => c.undercut?.stretchPct),
  optional(['air', 'mm³'], 0, (c) => c.airTraps?.reduce((sum, trap) => sum + trap.volumeMm3, 0)),
];
