import type { Assumptions } from './assumptions.js';

/** From the full cup to the scraped plate, minutes. */
export function fillMinutes({ fillMin, cavityMin }: Assumptions, cavities: number): number {
  return fillMin + cavityMin * cavities;
}

/** From first contact to the full cup, minutes. */
export function mixMinutes({ mixingMin, vacuumMin }: Assumptions, degassed: boolean): number {
  return mixingMin + (degassed ? vacuumMin : 0);
}
