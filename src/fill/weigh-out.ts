import type { Batch } from './batches.js';
import type { BatchEntry, MasterEntry } from './mix-document.js';
import type { Recipe } from './recipe.js';
import { roundG, roundUpG, roundUpInRatio, type Scale, stepG } from './scale.js';
import { isTint, tintedName, weighingOrder } from './weighing-order.js';

/** Sum of masses on the scale's steps, without the dust of binary fractions. */
export function sumG(masses: readonly number[]): number {
  return Number(masses.reduce((sum, mass) => sum + mass, 0).toFixed(6));
}

/**
 * How far A to B may be off its ratio through the scale's step, per cent: what the rounding puts it off, and half a
 * step in reading each.
 */
export function ratioErrorPct(massAG: number, massBG: number, recipe: Recipe, scale: Scale = {}): number {
  const [a, b] = recipe.portions;
  const rounding = Math.abs((massBG * a!.share) / (massAG * b!.share) - 1);
  const reading = stepG(massAG, scale) / massAG / 2 + stepG(massBG, scale) / massBG / 2;
  return 100 * (rounding + reading);
}

/** A batch as it is weighed: what is poured on the scale's steps, in its order, and the parts that it holds. */
export function weighOut(batch: Batch, session: number, recipe: Recipe, scale: Scale | undefined): BatchEntry {
  const pours = weighingOrder(
    recipe.portions.map(({ part, kind, share }) => ({ part, kind, mass: share })),
    recipe.tintInto,
  );
  const masses = roundUpInRatio(
    batch.needG,
    pours.map(({ mass }) => mass),
    scale,
  );
  const massOf = new Map(
    pours.flatMap(({ mass, holds }, i) =>
      holds.map((one) => [one.part, holds.length === 1 ? masses[i]! : (masses[i]! * one.mass) / mass] as const),
    ),
  );
  const parts = recipe.portions.map(({ part, densityGPerMl }) => {
    const massG = massOf.get(part) ?? 0;
    return { part, massG, volumeMl: massG / densityGPerMl };
  });
  return {
    material: batch.material,
    session,
    needG: batch.needG,
    totalG: sumG(masses),
    cupMl: batch.cupMl,
    minutes: batch.minutes,
    usableMinutes: batch.usableMinutes ?? null,
    ratioErrorPct: ratioErrorPct(parts[0]!.massG, parts[1]!.massG, recipe, scale),
    fills: fillsOf(batch),
    parts,
    order: pours.map(({ part }, i) => ({ part, massG: masses[i]! })),
  };
}

function fillsOf(batch: Batch): BatchEntry['fills'] {
  const fills = new Map<string, BatchEntry['fills'][number]>();
  for (const { plate, pieces } of batch.doses) {
    const cavities = pieces.map(({ number }) => number);
    const key = `${plate}:${cavities}`;
    const before = fills.get(key);
    if (before === undefined) fills.set(key, { plate, count: 1, cavities });
    else before.count += 1;
  }
  return [...fills.values()].toSorted((x, y) => x.plate - y.plate);
}

/**
 * The tinted master of a material: enough of the one part with its colour for all batches, less what is left.
 * @param leftG still on the shelf
 */
export function masterOf(
  material: number,
  recipe: Recipe,
  batches: readonly BatchEntry[],
  leftG: number,
  scale: Scale | undefined,
): MasterEntry {
  const inMaster = recipe.portions.filter((portion) => isTint(portion.kind) || portion.kind === recipe.tintInto);
  const share = inMaster.reduce((sum, portion) => sum + portion.share, 0);
  const volume = inMaster.reduce((sum, portion) => sum + portion.share / portion.densityGPerMl, 0);
  const own = batches.filter((batch) => batch.material === material);
  const needG = sumG(
    own.map(({ order }) => order.find(({ part }) => part === tintedName(recipe.tintInto))?.massG ?? 0),
  );
  const makeG = Math.max(0, needG - leftG);
  return {
    material,
    name: `${recipe.name}: ${tintedName(recipe.tintInto)}`,
    densityGPerMl: share / volume,
    needG,
    leftG,
    makeG,
    recipe: inMaster.map((portion) => {
      const massG = (makeG * portion.share) / share;
      const dropG = recipe.additives.find(({ additive }) => additive.name === portion.part)?.additive.dropG;
      return {
        part: portion.part,
        // Silicone may be a step too much; colour is as near as the scale shows it.
        massG: isTint(portion.kind) ? roundG(massG, scale) : roundUpG(massG, scale),
        ...(dropG !== undefined && { drops: Number((massG / dropG).toFixed(1)) }),
      };
    }),
  };
}
