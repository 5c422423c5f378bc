import type { CavityRecord, SurveyDocument } from '../../src/base/survey-document.js';
import type { SurveyResult } from '../../src/survey.js';

/** An invented survey, written by hand: figures of a size that a plate has, none of them measured. */
export function sampleCavity(number: number, name: string, changes: Partial<CavityRecord> = {}): CavityRecord {
  return {
    number,
    name,
    centreMm: [30 * number, 40],
    boxMm: [30 * number - 10, 30, -4, 30 * number + 10, 50, 0],
    volumeMm3: 1234.5678912,
    volumeCheckMm3: 1234.6,
    volumeUncertaintyMm3: 4.2,
    openingAreaMm2: 812.25,
    rimLengthMm: 112.44,
    wallAreaMm2: 901.5,
    flashAreaMm2: 365.125,
    nearestRimMm: 11.25,
    depthMm: 3.875,
    thickness: null,
    thinZones: null,
    undercut: null,
    airTraps: null,
    liftPointMm: null,
    ...changes,
  };
}

export function sampleSurvey(changes: Partial<SurveyDocument> = {}): SurveyDocument {
  const cavities = changes.cavities ?? [sampleCavity(1, 'brow left'), sampleCavity(2, 'brow right')];
  const sum = (key: 'volumeMm3' | 'openingAreaMm2' | 'flashAreaMm2'): number =>
    cavities.reduce((total, cavity) => total + (cavity[key] ?? 0), 0);
  return {
    format: 'plateful.survey',
    version: 1,
    source: {
      file: 'plate.stl',
      fileFormat: 'stl-binary',
      bytes: 61_728_484,
      sha256: 'ab'.repeat(32),
      triangles: 1_234_568,
      unit: 'mm',
      unitFrom: 'default',
    },
    plate: {
      form: 'mould',
      lengthMm: 212,
      widthMm: 148,
      landAreaMm2: 28_910,
      landFlatnessMm: 0.012,
      noiseMm: 0.004,
      scrapeSurface: 'flat',
      toPlate: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 5, 6, 7, 1],
    },
    cavities,
    hollows: [
      { role: 'key', count: 1, volumeMm3: 520 },
      { role: 'mark', count: 2, volumeMm3: 12 },
    ],
    totals: { volumeMm3: sum('volumeMm3'), openingAreaMm2: sum('openingAreaMm2'), flashAreaMm2: sum('flashAreaMm2') },
    findings: [
      {
        code: 'ruler',
        severity: 'note',
        message: 'The plate reads 212 x 148 mm: lay a ruler on it before anything is weighed out by these figures.',
      },
      {
        code: 'runs-off',
        severity: 'stop',
        message: 'The cavity runs out over the edge: dam it, or the fill runs off.',
        cavity: 2,
        atMm: [60, 30, 0],
      },
      { code: 'thin', severity: 'caution', message: 'Thicken the edge.', cavity: 1 },
      { code: 'thin', severity: 'caution', message: 'Thicken the edge.', cavity: 2 },
    ],
    repairs: [{ what: 'triangles given twice, one dropped', count: 12, effectMm3: 0.4 }],
    ...changes,
  };
}

/** The invented survey as the library returns it, without any geometry. */
export function sampleResult(changes: Partial<SurveyDocument> = {}): SurveyResult {
  const plateMesh = { positions: new Float64Array(0), triangles: new Uint32Array(0) };
  return { document: sampleSurvey(changes), plateMesh, outline: new Float64Array(0), cavities: [] };
}
