import { suggestName } from '../base/closest-name.js';
import { Fault } from '../base/fault.js';
import { plainText } from '../base/plain-text.js';
import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';

/** What a limit can be set on: a figure of every cavity, of the plate, or the worst finding. */
type Figure = number | null | undefined;
const ofCavity: Readonly<Record<string, (cavity: CavityRecord) => Figure>> = {
  'volume-ml': (c) => c.volumeMm3 && c.volumeMm3 / 1000,
  'uncertainty-pct': (c) => c.volumeMm3 && c.volumeUncertaintyMm3 && (100 * c.volumeUncertaintyMm3) / c.volumeMm3,
  'depth-mm': (c) => c.depthMm,
  'gap-mm': (c) => c.nearestRimMm,
  'least-mm': (c) => c.thickness?.minMm,
  'most-mm': (c) => c.thickness?.maxMm,
  'edge-angle-deg': (c) => c.thickness?.edgeAngleDeg,
  'thin-reach-mm': (c) => c.thinZones && Math.max(0, ...c.thinZones.map((zone) => (zone.inner ? 0 : zone.reachMm))),
  'inner-thin-zones': (c) => c.thinZones?.filter((zone) => zone.inner).length,
  'undercut-mm3': (c) => c.undercut?.volumeMm3,
  'stretch-pct': (c) => c.undercut && (c.undercut.volumeMm3 === 0 ? 0 : c.undercut.stretchPct),
  'air-mm3': (c) => c.airTraps?.reduce((sum, trap) => sum + trap.volumeMm3, 0),
};
const ofPlate: Readonly<Record<string, (document: SurveyDocument) => Figure>> = {
  cavities: ({ cavities }) => cavities.length,
  'total-ml': ({ totals }) => totals.volumeMm3 && totals.volumeMm3 / 1000,
  'flatness-mm': ({ plate }) => plate.landFlatnessMm,
  'noise-mm': ({ plate }) => plate.noiseMm,
};
const severities: readonly string[] = ['none', 'note', 'caution', 'stop'];

/** The names a limit can be set on. */
export const limitNames: readonly string[] = [...Object.keys(ofCavity), ...Object.keys(ofPlate), 'findings'];

export interface Limit {
  /** As it is shown: `least-mm >= 0.8`. */
  readonly text: string;
  readonly name: string;
  readonly atLeast: boolean;
  /** For `findings`: the place of the severity among none, note, caution, stop. */
  readonly value: number;
}

/**
 * Reads limits: `least-mm >= 0.8`, several with commas or line ends between them, `#` begins a remark.
 * @throws Fault `limit-…`, of kind usage, with the line
 */
export function readLimits(text: string, file?: string): Limit[] {
  const limits: Limit[] = [];
  for (const [index, line] of text.split(/\r?\n/).entries()) {
    for (const part of line.replace(/#.*/, '').split(',')) {
      const shown = plainText(part.trim());
      if (shown === '') continue;
      const fault = (code: string, message: string, remedy: string): Fault =>
        new Fault({
          ...{ code, kind: 'usage', message, remedy },
          ...(file === undefined ? {} : { file, where: `line ${index + 1}` }),
        });
      const [, name = '', sign, word = ''] = /^([a-z0-9-]+)\s*(>=|<=)\s*(\S+)$/i.exec(part.trim()) ?? [];
      if (sign === undefined)
        throw fault(
          'limit-unreadable',
          `'${shown}' is no limit.`,
          'Write a name, <= or >=, and a number: depth-mm <= 8.',
        );
      const known = limitNames.find((entry) => entry === name.toLowerCase());
      if (known === undefined)
        throw fault('limit-unknown', `There is no figure '${name}'.`, suggestName(name, limitNames));
      const value = known === 'findings' ? severities.indexOf(word) : Number(word);
      if (!Number.isFinite(value) || value < 0 || (known === 'findings' && sign === '>='))
        throw fault(
          'limit-value',
          `'${shown}' has no value that can be held.`,
          known === 'findings' ? 'Write findings <= none, note or caution.' : 'Write a number: depth-mm <= 8.',
        );
      limits.push({ text: `${known} ${sign} ${word}`, name: known, atLeast: sign === '>=', value });
    }
  }
  if (limits.length === 0)
    throw new Fault({
      ...{ code: 'limit-none', kind: 'usage', message: 'No limit is given.', remedy: 'Write one: depth-mm <= 8.' },
      ...(file === undefined ? {} : { file }),
    });
  return limits;
}

export interface BrokenLimit {
  readonly limit: Limit;
  /** Number of the cavity; none for a limit of the whole plate. */
  readonly cavity?: number;
  readonly name?: string;
  /** What was found; null where it was not measured, which holds no limit. */
  readonly value: number | string | null;
}

/** The limits that a survey does not hold, in the order of the limits. */
export function brokenLimits(document: SurveyDocument, limits: readonly Limit[]): BrokenLimit[] {
  const breaks = ({ atLeast, value }: Limit, figure: Figure): boolean =>
    figure === null || figure === undefined || (atLeast ? figure < value : figure > value);
  return limits.flatMap((limit): BrokenLimit[] => {
    const cavityFigure = ofCavity[limit.name];
    if (cavityFigure !== undefined) {
      return document.cavities
        .map((cavity) => ({ cavity, figure: cavityFigure(cavity) }))
        .filter(({ figure }) => breaks(limit, figure))
        .map(({ cavity, figure }) => ({ limit, cavity: cavity.number, name: cavity.name, value: figure ?? null }));
    }
    if (limit.name === 'findings') {
      const worst = Math.max(0, ...document.findings.map(({ severity }) => severities.indexOf(severity)));
      return worst > limit.value ? [{ limit, value: severities[worst]! }] : [];
    }
    const figure = ofPlate[limit.name]!(document);
    return breaks(limit, figure) ? [{ limit, value: figure ?? null }] : [];
  });
}

/** One line a broken limit. */
export function brokenLines(broken: readonly BrokenLimit[]): string[] {
  return broken.map(({ limit, cavity, name, value }) => {
    const named = name === undefined || name === `cavity-${cavity}` ? '' : ` (${plainText(name)})`;
    const who = cavity === undefined ? 'plate' : `cavity ${cavity}${named}`;
    const found = typeof value === 'number' ? Number(value.toPrecision(4)) : (value ?? 'not measured');
    return `${who}: ${limit.name} is ${found}, the limit is ${limit.atLeast ? '>=' : '<='} ${limit.text.split(' ')[2]}`;
  });
}
