import { cupAllowance } from './allowances.js';
import { type Assumptions, assumed } from './assumptions.js';
import { mixMinutes } from './bench-times.js';
import { type Dose, type DoseOptions, loadOf, splitToFit } from './doses.js';
import type { Allowance } from './mix-document.js';
import { fits, type Limits, packItems } from './pack.js';
import { potLifeAt } from './pot-life.js';
import type { Recipe } from './recipe.js';
import { type Scale, stepG } from './scale.js';

export interface BatchOptions {
  /** Temperature of the room; where not given, the data sheet's. */
  readonly roomC?: number | undefined;
  readonly cupsMl?: readonly number[] | undefined;
  readonly scale?: Scale | undefined;
  /** The mix goes under vacuum. */
  readonly degassed?: boolean | undefined;
}

/** Cup sizes that a shop has, ml (common practice, no source). */
export const usualCupsMl: readonly number[] = [100, 250, 500, 1000, 2500];

/** How much of a cup the mix may take: less where it rises under vacuum. */
export function usableShare({ cupSharePct, vacuumCupSharePct }: Assumptions, degassed: boolean): number {
  return (degassed ? vacuumCupSharePct : cupSharePct) / 100;
}

/** A batch before its parts are rounded to the scale. */
export interface Batch {
  readonly material: number;
  readonly doses: readonly Dose[];
  readonly needG: number;
  readonly cupMl: number;
  readonly cupLoss: Allowance;
  /** From first contact to the last scraped plate. */
  readonly minutes: number;
  /** The most that the pot life allows; undefined where it is not known. */
  readonly usableMinutes: number | undefined;
  /** What it breaks: one cavity alone is too much. */
  readonly breaks: readonly ('cup' | 'scale' | 'pot life')[];
}

/** The fewest batches of one material for some doses that are poured in one go at the bench. */
export function makeBatches(doses: readonly Dose[], material: number, options: DoseOptions & BatchOptions): Batch[] {
  const recipe = options.recipes[material]!;
  const { limits, usableMinutes } = batchLimits(recipe, options);
  const parts = doses.flatMap((dose) => splitToFit(dose, limits, recipe, options));
  const tooMuch = parts.filter((dose) => !fits(loadOf(dose), limits));
  const good = parts.filter((dose) => fits(loadOf(dose), limits));
  const groups = [
    ...(good.length === 0 ? [] : packItems(good.map(loadOf), limits).map((group) => group.map((i) => good[i]!))),
    ...tooMuch.map((dose) => [dose]),
  ];
  const cupLoss = meanCupLoss(groups, recipe, options);
  return groups.map((group) => batchOf(group, material, recipe, { usableMinutes, cupLoss }, options));
}

function gramsOf(doses: readonly Dose[]): number {
  return doses.reduce((sum, dose) => sum + loadOf(dose).grams, 0);
}

/**
 * What stays in each cup, by the cup that the mean batch just fills: so a plan's total grows with its pieces, whatever
 * cups its batches are poured from. With m the mean and n the batches, n m^p of it rises with the mass and with n.
 */
function meanCupLoss(groups: readonly (readonly Dose[])[], recipe: Recipe, options: DoseOptions & BatchOptions) {
  const share = usableShare(assumed(options.way, options.assume), options.degassed ?? false);
  const meanG = groups.reduce((sum, group) => sum + gramsOf(group), 0) / groups.length;
  const leastMl = Math.min(...(options.cupsMl ?? usualCupsMl));
  return cupAllowance(Math.max(leastMl, meanG / recipe.densityGPerMl / share), options);
}

/** What rounding the parts up to the scale may add at most. */
function roundingG(recipe: Recipe, scale: Scale | undefined): number {
  return 2 * recipe.portions.length * stepG(10, scale);
}

function batchLimits(recipe: Recipe, options: DoseOptions & BatchOptions) {
  const degassed = options.degassed ?? false;
  const assume = assumed(options.way, options.assume);
  const largestMl = Math.max(...(options.cupsMl ?? usualCupsMl));
  const cupG = largestMl * usableShare(assume, degassed) * recipe.densityGPerMl;
  const room = Math.min(cupG, options.scale?.maxG ?? Number.POSITIVE_INFINITY);
  const grams = Math.max(1e-6, room - cupAllowance(largestMl, options).massG - roundingG(recipe, options.scale));
  const potLife = potLifeAt(recipe.silicone, options.roomC, assume.potLifeFactor);
  const usableMinutes = potLife === undefined ? undefined : (potLife.minutes * assume.potLifeUsedPct) / 100;
  const minutes = Math.max(1e-6, (usableMinutes ?? Number.POSITIVE_INFINITY) - mixMinutes(assume, degassed));
  return { limits: { grams, minutes } satisfies Limits, usableMinutes };
}

function batchOf(
  doses: readonly Dose[],
  material: number,
  recipe: Recipe,
  { usableMinutes, cupLoss }: Pick<Batch, 'usableMinutes' | 'cupLoss'>,
  options: DoseOptions & BatchOptions,
): Batch {
  const degassed = options.degassed ?? false;
  const assume = assumed(options.way, options.assume);
  const share = usableShare(assume, degassed);
  const needG = gramsOf(doses) + cupLoss.massG;
  const holds = (cupMl: number) =>
    needG + roundingG(recipe, options.scale) <= cupMl * share * recipe.densityGPerMl * (1 + 1e-9);
  const cups = (options.cupsMl ?? usualCupsMl).toSorted((a, b) => a - b);
  const cupMl = cups.find(holds) ?? cups.at(-1)!;
  const minutes = doses.reduce((sum, dose) => sum + dose.minutes, mixMinutes(assume, degassed));
  const breaks: Batch['breaks'][number][] = [];
  if (!holds(cupMl)) breaks.push('cup');
  if (needG + roundingG(recipe, options.scale) > (options.scale?.maxG ?? Number.POSITIVE_INFINITY))
    breaks.push('scale');
  if (minutes > (usableMinutes ?? Number.POSITIVE_INFINITY) * (1 + 1e-9)) breaks.push('pot life');
  return { material, doses, needG, cupMl, cupLoss, minutes, usableMinutes, breaks };
}
