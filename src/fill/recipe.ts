import type { Additive } from './shelf/shelf.js';
import { densityFromParts, massShares, type Silicone } from './silicone.js';

/** What a share of an additive is a share of; `A+B` is the neat silicone, `total` everything in the cup. */
export type Basis = 'A' | 'B' | 'A+B' | 'total';

export interface AdditiveUse {
  readonly additive: Additive;
  readonly pct: number;
  readonly of: Basis;
}

/** A silicone and what a person mixes into it. */
export interface RecipeSpec {
  readonly name: string;
  readonly silicone: Silicone;
  readonly additives: readonly AdditiveUse[];
  /** The part that takes the colour before A meets B. */
  readonly tintInto: 'A' | 'B';
}

/** One part of a mix. */
export interface Portion {
  /** `A`, `B`, or the additive's name. */
  readonly part: string;
  readonly kind: 'A' | 'B' | Additive['kind'];
  /** Share of the mass of the mix; the shares add to 1. */
  readonly share: number;
  readonly densityGPerMl: number;
}

/** A material as it is mixed: what goes in, and the density that comes out. */
export interface Recipe extends RecipeSpec {
  /** A, B, then the additives. */
  readonly portions: readonly Portion[];
  readonly densityGPerMl: number;
}

export function neatRecipe(silicone: Silicone): Recipe {
  return makeRecipe({ name: silicone.name, silicone, additives: [], tintInto: 'B' });
}

/**
 * The shares and the density of a mix. Masses add and volumes add; A to B stays in its ratio whatever goes in besides.
 * With x the mass of an additive for 1 g of A+B: x = p of its part, or p of the total T, where
 * T = (1 + sum of the x of stated parts) / (1 - sum of the p of the total).
 */
export function makeRecipe(spec: RecipeSpec): Recipe {
  const { silicone, additives } = spec;
  const [a, b] = massShares(silicone);
  const basis: Record<Exclude<Basis, 'total'>, number> = { A: a, B: b, 'A+B': 1 };
  const fraction = ({ pct }: AdditiveUse) => pct / 100;
  const ofParts = additives.reduce((sum, use) => sum + (use.of === 'total' ? 0 : fraction(use) * basis[use.of]), 0);
  const ofTotal = additives.reduce((sum, use) => sum + (use.of === 'total' ? fraction(use) : 0), 0);
  const total = (1 + ofParts) / (1 - ofTotal);
  const portions: Portion[] = [
    { part: 'A', kind: 'A', share: a / total, densityGPerMl: silicone.densityAGPerMl },
    { part: 'B', kind: 'B', share: b / total, densityGPerMl: silicone.densityBGPerMl },
    ...additives.map((use) => ({
      part: use.additive.name,
      kind: use.additive.kind,
      share: (fraction(use) * (use.of === 'total' ? total : basis[use.of])) / total,
      densityGPerMl: use.additive.densityGPerMl,
    })),
  ];
  const neatVolume = 1 / total / (silicone.densityMixGPerMl ?? densityFromParts(silicone));
  const volume = portions.slice(2).reduce((sum, { share, densityGPerMl }) => sum + share / densityGPerMl, neatVolume);
  return { ...spec, portions, densityGPerMl: 1 / volume };
}

/** Share of all portions of some kinds in the mass of the mix. */
export function shareOf(recipe: Recipe, ...kinds: Portion['kind'][]): number {
  return recipe.portions.reduce((sum, { kind, share }) => sum + (kinds.includes(kind) ? share : 0), 0);
}
