import type { Silicone } from './silicone.js';

/** Where the change with temperature comes from. */
export type PotLifeFrom = 'data sheet' | 'two data-sheet points' | 'rule of thumb';

export interface PotLifeHere {
  readonly minutes: number;
  /** Lowest and highest that the doubt about the temperature's effect allows. */
  readonly rangeMinutes: readonly [number, number];
  readonly atC: number;
  readonly from: PotLifeFrom;
}

/** Conditioning temperature of ISO 23529, taken where a data sheet names none. */
export const standardTemperatureC = 23;

/**
 * By what factor the pot life shortens per 10 °C: 2, and 1.5 to 2.5 as its doubt. The rule is stated for epoxy; none
 * was found for two-part silicone, so two points of one's own data sheet are better.
 */
export const ruleOfThumb = { factor: 2, least: 1.5, most: 2.5 } as const;

/** A time at another temperature, where it shortens by a factor per 10 °C. */
export function timeAtTemperature(minutes: number, fromC: number, toC: number, factorPer10C: number): number {
  return minutes / factorPer10C ** ((toC - fromC) / 10);
}

/**
 * The pot life at the room's temperature; undefined where the material states none.
 * @param factorPer10C where the data sheet has one point; the doubt spans the rule's range and this
 */
export function potLifeAt(
  silicone: Silicone,
  roomC: number | undefined,
  factorPer10C: number = ruleOfThumb.factor,
): PotLifeHere | undefined {
  const { potLife: first, potLifeSecond: second } = silicone;
  if (first === undefined) return undefined;
  const sheetC = first.atC ?? standardTemperatureC;
  const atC = roomC ?? sheetC;
  const { minutes: stated } = first;
  if (atC === sheetC) return { minutes: stated, rangeMinutes: [stated, stated], atC, from: 'data sheet' };
  if (second?.atC !== undefined) {
    const factor = (stated / second.minutes) ** (10 / (second.atC - sheetC));
    const minutes = timeAtTemperature(stated, sheetC, atC, factor);
    return { minutes, rangeMinutes: [minutes, minutes], atC, from: 'two data-sheet points' };
  }
  const by = (factor: number) => timeAtTemperature(stated, sheetC, atC, factor);
  const ends = [ruleOfThumb.least, factorPer10C, ruleOfThumb.most].map(by).toSorted((x, y) => x - y);
  return { minutes: by(factorPer10C), rangeMinutes: [ends[0]!, ends[2]!], atC, from: 'rule of thumb' };
}
