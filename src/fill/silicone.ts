import type { Stock } from './stock.js';

/** A time and, where it is said, the temperature it holds at. */
export interface TimeAt {
  readonly minutes: number;
  readonly atC?: number;
}

/** A number of a Shore scale (ASTM D2240). */
export interface Hardness {
  readonly value: number;
  readonly scale: string;
}

/** A two-part silicone, as its data sheet describes it. */
export interface Silicone extends Stock {
  readonly name: string;
  readonly ratioBy: 'weight' | 'volume';
  /** Parts of A to parts of B, both above 0. */
  readonly ratio: readonly [number, number];
  readonly densityAGPerMl: number;
  readonly densityBGPerMl: number;
  /** Density of the mix as stated; where it is not, it follows from the parts. */
  readonly densityMixGPerMl?: number | undefined;
  /** True for the built-in materials: typical figures, no maker's. */
  readonly typical: boolean;
  readonly cures?: 'platinum' | 'tin' | undefined;
  readonly potLife?: TimeAt | undefined;
  /** The same at a second temperature. */
  readonly potLifeSecond?: TimeAt | undefined;
  readonly cureTime?: TimeAt | undefined;
  readonly hardness?: Hardness | undefined;
  readonly tearNPerMm?: number | undefined;
  readonly tearMethod?: string | undefined;
  readonly elongationPct?: number | undefined;
  /** Linear. */
  readonly shrinkagePct?: number | undefined;
}

/**
 * Shares of A and B in the mass of the mix; they add to 1.
 * By volume, a share of mass is the share of volume times the part's density.
 */
export function massShares(silicone: Silicone): [number, number] {
  const [partsA, partsB] = silicone.ratio;
  const byVolume = silicone.ratioBy === 'volume';
  const a = byVolume ? partsA * silicone.densityAGPerMl : partsA;
  const b = byVolume ? partsB * silicone.densityBGPerMl : partsB;
  return [a / (a + b), b / (a + b)];
}

/** Density of A and B mixed, from the parts: masses add, volumes add. g/ml. */
export function densityFromParts(silicone: Silicone): number {
  const [a, b] = massShares(silicone);
  return 1 / (a / silicone.densityAGPerMl + b / silicone.densityBGPerMl);
}

/** Shrinkage of the volume for a linear one, both per cent. */
export function volumeShrinkagePct(linearPct: number): number {
  return 100 * (1 - (1 - linearPct / 100) ** 3);
}

/** Density of the mix: as stated, otherwise from the parts. g/ml. */
export function mixedDensity(silicone: Silicone): number {
  return silicone.densityMixGPerMl ?? densityFromParts(silicone);
}
