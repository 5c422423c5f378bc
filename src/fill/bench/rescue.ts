import { usableShare } from '../batches.js';
import type { PotLifeHere } from '../pot-life.js';
import type { Recipe } from '../recipe.js';
import type { Scale } from '../scale.js';
import { weighingOrder } from '../weighing-order.js';
import { type InCup, type Retarget, retarget, type Share } from './retarget.js';

/** After this share of the pot life a mix is not stirred up again (common practice, no source). */
export const latestShare = 0.5;

export interface Rescue extends Retarget {
  /** What the cup holds now, and how much more it is then. */
  readonly nowG: number;
  readonly moreG: number;
  readonly volumeMl: number;
  /** `undefined` where no cup, or no time, is given. */
  readonly fits: boolean | undefined;
  readonly tooLate: boolean | undefined;
}

export interface RescueOptions {
  readonly cupMl?: number | undefined;
  readonly degassed?: boolean | undefined;
  /** Since A met B. */
  readonly elapsedMinutes?: number | undefined;
  readonly potLife?: PotLifeHere | undefined;
  readonly scale?: Scale | undefined;
}

/** The parts as they go into the cup, the tinted one with its colour. */
export function partsInCup(recipe: Recipe): Share[] {
  const parts = recipe.portions.map(({ part, kind, share }) => ({ part, kind, mass: share }));
  return weighingOrder(parts, recipe.tintInto).map(({ part, mass }) => ({ part, share: mass }));
}

/** How a cup that was weighed wrongly comes back into its ratio, and whether it is still worth it. */
export function rescue(recipe: Recipe, inCup: InCup, options: RescueOptions): Rescue {
  const shares = partsInCup(recipe);
  const all: InCup = new Map(shares.map(({ part }) => [part, inCup.get(part) ?? 0]));
  const result = retarget(shares, all, { leavePct: 0, scale: options.scale });
  const nowG = [...inCup.values()].reduce((sum, massG) => sum + massG, 0);
  const volumeMl = result.totalG / recipe.densityGPerMl;
  const { cupMl, elapsedMinutes, potLife } = options;
  return {
    ...result,
    nowG,
    moreG: result.totalG - nowG,
    volumeMl,
    fits: cupMl === undefined ? undefined : volumeMl <= cupMl * usableShare(options.degassed ?? false),
    tooLate:
      elapsedMinutes === undefined || potLife === undefined
        ? undefined
        : elapsedMinutes > latestShare * potLife.minutes,
  };
}
