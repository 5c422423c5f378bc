import type { WayOfCasting } from './allowances.js';

/** How long the work at the bench takes, minutes; every figure is common practice, no source. */
export const benchTimes = {
  mixing: 3,
  vacuum: 5,
  straight: { fill: 3, cavity: 1 },
  encapsulated: { fill: 5, cavity: 2.5 },
} as const;

/** Share of the pot life that is used, counted from the moment that A meets B (common practice, no source). */
export const usedPotLife = 0.7;

/** From the full cup to the scraped plate. */
export function fillMinutes(way: WayOfCasting, cavities: number): number {
  const { fill, cavity } = benchTimes[way];
  return fill + cavity * cavities;
}

/** From first contact to the full cup. */
export function mixMinutes(degassed: boolean): number {
  return benchTimes.mixing + (degassed ? benchTimes.vacuum : 0);
}
