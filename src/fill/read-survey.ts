import { Fault } from '../base/fault.js';
import type { SurveyDocument } from '../base/survey-document.js';
import {
  count,
  flag,
  list,
  number,
  oneOf,
  orNull,
  Place,
  positive,
  type Reader,
  record,
  text,
  vector,
} from './shape.js';

const open = { open: true };
const real = number();
const amount = number(0);
const maybe = orNull(real);
const maybeAmount = orNull(amount);
const point = vector(3, real);

const thickness = record(
  {
    minMm: maybeAmount,
    maxMm: maybeAmount,
    medianMm: maybeAmount,
    edgeAngleDeg: maybe,
    taper: orNull(list(record({ inMm: real, p10Mm: real, medianMm: real, p90Mm: real }, {}, open))),
  },
  {},
  open,
);

const thinZone = record(
  { areaMm2: amount, reachMm: amount, rimSpanMm: amount, minMm: amount, inner: flag, atMm: point },
  {},
  open,
);

const undercut = record({ volumeMm3: amount, overhangMm: maybe, neckMm: maybe, stretchPct: maybe }, {}, open);

const cavity = record(
  {
    number: count(1),
    name: text,
    centreMm: vector(2, real),
    boxMm: vector(6, real),
    volumeMm3: orNull(positive),
    volumeCheckMm3: maybeAmount,
    volumeUncertaintyMm3: maybeAmount,
    openingAreaMm2: maybeAmount,
    rimLengthMm: maybeAmount,
    wallAreaMm2: maybeAmount,
    flashAreaMm2: maybeAmount,
    nearestRimMm: maybe,
    depthMm: maybeAmount,
    thickness: orNull(thickness),
    thinZones: orNull(list(thinZone)),
    undercut: orNull(undercut),
    airTraps: orNull(list(record({ volumeMm3: amount, atMm: point }, {}, open))),
    liftPointMm: orNull(point),
  },
  { rimMm: list(list(real)), shapeMm: vector(7, real) },
  open,
);

const finding = record(
  { code: text, severity: oneOf('note', 'caution', 'stop'), message: text },
  { cavity: orNull(count()), atMm: orNull(point) },
  open,
);

const survey = record(
  {
    format: oneOf('plateful.survey'),
    version: oneOf(1),
    source: record(
      {
        file: text,
        fileFormat: oneOf('stl-binary', 'stl-ascii', 'obj', 'ply', '3mf'),
        bytes: count(0, Number.MAX_SAFE_INTEGER),
        sha256: text,
        triangles: count(),
        unit: oneOf('mm', 'cm', 'm', 'in', 'ft', 'um'),
        unitFrom: oneOf('file', 'option', 'default'),
      },
      {},
      open,
    ),
    plate: record(
      {
        form: oneOf('mould', 'scan', 'sculpt', 'pieces'),
        lengthMm: maybeAmount,
        widthMm: maybeAmount,
        landAreaMm2: maybeAmount,
        landFlatnessMm: maybeAmount,
        noiseMm: maybeAmount,
        scrapeSurface: oneOf('flat', 'bowed'),
        toPlate: orNull(vector(16, real)),
      },
      { lowLandMm3: amount },
      open,
    ),
    cavities: list(cavity),
    hollows: list(record({ role: oneOf('key', 'gutter', 'mark'), count: count(), volumeMm3: real }, {}, open)),
    totals: record({ volumeMm3: maybe, openingAreaMm2: maybe, flashAreaMm2: maybe }, {}, open),
    findings: list(finding),
    repairs: list(record({ what: text, count: count(), effectMm3: maybe }, {}, open)),
  },
  {},
  open,
);

/** Whether a text looks like a saved document of the tool's own, by its content, not its name. */
export function looksLikeSurvey(head: string): boolean {
  return /^\s*\{/.test(head);
}

/**
 * Reads a saved survey document.
 * @throws Fault `survey-not-json`, or `survey-…` with the key where the document is not what it must be
 */
export function readSurvey(json: string): SurveyDocument {
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch {
    throw new Fault({
      code: 'survey-not-json',
      message: 'It begins like a survey document, but is not one whole JSON text.',
      remedy: 'Save it again: survey FILE --json > survey.json.',
    });
  }
  const read = (survey as Reader<unknown>)(value, new Place('survey')) as SurveyDocument;
  const seen = new Set<number>();
  read.cavities.forEach(({ number: cavityNumber }, index) => {
    const place = new Place('survey', ['cavities', index, 'number']);
    if (seen.has(cavityNumber)) {
      throw place.fault('number-twice', `Cavity ${cavityNumber} is listed twice.`, 'Save the survey again.');
    }
    seen.add(cavityNumber);
  });
  return read;
}
