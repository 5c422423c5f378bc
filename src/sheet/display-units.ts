import { fixed, noFigure } from './figures.js';
import { grams, gramsRange } from './grams.js';

/** Units that a person reads; inside everything is metric. */
export interface DisplayUnits {
  readonly massUnit: string;
  readonly volumeUnit: string;
  mass(massG: number): string;
  massRange(range: readonly [number, number]): string;
  volume(volumeMl: number, decimals?: number): string;
}

/** Exact: the avoirdupois ounce, and the US fluid ounce as 1/128 of 231 cubic inches (NIST SP 811, appendix B.8). */
export const gramsPerOunce = 28.349523125;
export const mlPerUsFluidOunce = 29.5735295625;

const metric: DisplayUnits = {
  massUnit: 'g',
  volumeUnit: 'ml',
  mass: grams,
  massRange: gramsRange,
  volume: (volumeMl, decimals = 3) => fixed(volumeMl, decimals),
};

/** A thousandth of an ounce is 0.03 g: finer than a kitchen scale, coarser than the metric figures. */
const us: DisplayUnits = {
  massUnit: 'oz',
  volumeUnit: 'US fl oz',
  mass: (massG) => fixed(massG / gramsPerOunce, 3),
  massRange: ([low, high]) => {
    const step = 1000;
    const down = Math.floor((low / gramsPerOunce) * step + 1e-6) / step;
    const up = Math.ceil((high / gramsPerOunce) * step - 1e-6) / step;
    return `${fixed(down, 3)} to ${fixed(up, 3)}`;
  },
  volume: (volumeMl, decimals = 3) => fixed(volumeMl / mlPerUsFluidOunce, decimals),
};

export const displayUnits = { metric, us } as const;
export type Display = keyof typeof displayUnits;

/** A range, or a dash where both ends are the same. */
export function rangeOrDash(range: readonly [number, number], units: DisplayUnits): string {
  return range[1] === range[0] ? noFigure : units.massRange(range);
}
