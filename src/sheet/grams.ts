import { stepG } from '../fill/scale.js';
import { fixed } from './figures.js';

/** A mass as the scale shows it: 0.1 g for 10 g and more, 0.01 g below. */
export function grams(massG: number | null | undefined): string {
  if (massG === null || massG === undefined) return fixed(null, 0);
  return fixed(massG, stepG(massG) < 0.1 ? 2 : 1);
}

/** A range of masses, rounded outwards, so that it never looks narrower than it is. */
export function gramsRange([low, high]: readonly [number, number]): string {
  const [perGram, decimals] = high >= 10 ? [10, 1] : [100, 2];
  const down = Math.floor(low * perGram + 1e-6) / perGram;
  const up = Math.ceil(high * perGram - 1e-6) / perGram;
  return `${fixed(down, decimals)} to ${fixed(up, decimals)}`;
}
