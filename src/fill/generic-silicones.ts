import type { Silicone } from './silicone.js';

function generic(
  name: string,
  ratio: [number, number],
  densities: { a: number; b: number },
  times: { potLifeMin: number; cureH: number },
): Silicone {
  return {
    name,
    ratioBy: 'weight',
    ratio,
    densityAGPerMl: densities.a,
    densityBGPerMl: densities.b,
    typical: true,
    cures: 'platinum',
    potLife: { minutes: times.potLifeMin, atC: 23 },
    cureTime: { minutes: times.cureH * 60, atC: 23 },
  };
}

/**
 * Materials to begin with when no data sheet is at hand. Densities lie in the range usual for casting silicones, 1.05
 * to 1.20 g/ml (from memory); all figures are common practice, no source. The first one is taken when none is named.
 */
export const genericSilicones: readonly Silicone[] = [
  generic('platinum silicone, soft, 1:1', [1, 1], { a: 1.07, b: 1.07 }, { potLifeMin: 45, cureH: 5 }),
  generic('platinum silicone, firm, 1:1', [1, 1], { a: 1.1, b: 1.1 }, { potLifeMin: 30, cureH: 4 }),
  generic('platinum silicone, firm, 10:1', [10, 1], { a: 1.1, b: 1.02 }, { potLifeMin: 60, cureH: 16 }),
];
