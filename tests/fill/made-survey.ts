import type { CavityRecord, SurveyDocument } from '../../src/base/survey-document.js';

/** A cavity with the figures that a fill plan reads; the rest is not measured. */
export function cavity(
  number: number,
  name: string,
  volumeMm3: number,
  more: Partial<CavityRecord> = {},
): CavityRecord {
  return {
    number,
    name,
    centreMm: [20 * number, 40],
    boxMm: [20 * number - 8, 32, -6, 20 * number + 8, 48, 0],
    volumeMm3,
    volumeCheckMm3: volumeMm3,
    volumeUncertaintyMm3: 0.01 * volumeMm3,
    openingAreaMm2: 200,
    rimLengthMm: 55,
    wallAreaMm2: 1.5 * volumeMm3 ** (2 / 3),
    flashAreaMm2: 190,
    nearestRimMm: 6,
    depthMm: 6,
    thickness: null,
    thinZones: null,
    undercut: null,
    airTraps: null,
    liftPointMm: null,
    ...more,
  };
}

/** A survey as the tool saves it, made by hand: invented figures. */
export function surveyOf(cavities: CavityRecord[], more: Partial<SurveyDocument> = {}): SurveyDocument {
  const sum = cavities.reduce((total, { volumeMm3 }) => total + (volumeMm3 ?? 0), 0);
  return {
    format: 'plateful.survey',
    version: 1,
    source: {
      file: 'made.stl',
      fileFormat: 'stl-binary',
      bytes: 684,
      sha256: '0'.repeat(64),
      triangles: 12,
      unit: 'mm',
      unitFrom: 'option',
    },
    plate: {
      form: 'mould',
      lengthMm: 200,
      widthMm: 100,
      landAreaMm2: 18_000,
      landFlatnessMm: 0,
      noiseMm: 0,
      scrapeSurface: 'flat',
      toPlate: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1],
    },
    cavities,
    hollows: [],
    totals: { volumeMm3: sum, openingAreaMm2: 200 * cavities.length, flashAreaMm2: 190 * cavities.length },
    findings: [],
    repairs: [],
    ...more,
  };
}
