import { type Assumptions, assumed } from '../assumptions.js';
import { usableShare } from '../batches.js';
import type { PotLifeHere } from '../pot-life.js';
import type { Recipe } from '../recipe.js';
import type { Scale } from '../scale.js';
import { weighingOrder } from '../weighing-order.js';
import { type InCup, type Retarget, retarget, type Share } from './retarget.js';

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
  readonly potLife?: Pick<PotLifeHere, 'minutes'> | undefined;
  readonly scale?: Scale | undefined;
  readonly assume?: Assumptions | undefined;
}

/** What is in a cup: the parts as they are poured, and the density of their mix. */
export interface CupMix {
  readonly shares: readonly Share[];
  readonly densityGPerMl: number;
}

/** The parts of a recipe as they go into the cup, the tinted one with its colour. */
export function cupMixOf(recipe: Recipe): CupMix {
  const parts = recipe.portions.map(({ part, kind, share }) => ({ part, kind, mass: share }));
  const shares = weighingOrder(parts, recipe.tintInto).map(({ part, mass }) => ({ part, share: mass }));
  return { shares, densityGPerMl: recipe.densityGPerMl };
}

/** Whether a mix leaves the cup the room that it is stirred in, or rises in. */
export function fitsCup(totalG: number, { densityGPerMl }: CupMix, cupMl: number, options: RescueOptions): boolean {
  const share = usableShare(options.assume ?? assumed('straight'), options.degassed ?? false);
  return totalG / densityGPerMl <= cupMl * share * (1 + 1e-9);
}

/**
 * How a cup that was weighed wrongly comes back into its ratio, and whether it is still worth it. One that is hardly off
 * is left as it is.
 */
export function rescue(mix: CupMix, inCup: InCup, options: RescueOptions): Rescue {
  const { cupMl, elapsedMinutes, potLife, scale, assume = assumed('straight') } = options;
  const { shares } = mix;
  const all: InCup = new Map(shares.map(({ part }) => [part, inCup.get(part) ?? 0]));
  const exact = retarget(shares, all, { leavePct: 0, scale });
  const near = exact.offPct < assume.ratioTolerancePct;
  const result = near ? retarget(shares, all, { leavePct: assume.ratioTolerancePct, scale }) : exact;
  const nowG = [...inCup.values()].reduce((sum, massG) => sum + massG, 0);
  return {
    ...result,
    nowG,
    moreG: result.totalG - nowG,
    volumeMl: result.totalG / mix.densityGPerMl,
    fits: cupMl === undefined ? undefined : fitsCup(result.totalG, mix, cupMl, options),
    tooLate:
      elapsedMinutes === undefined || potLife === undefined
        ? undefined
        : elapsedMinutes > (assume.rescueUntilPct / 100) * potLife.minutes,
  };
}
