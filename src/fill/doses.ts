import { fillAllowances, type LossOptions, sweptLandMm2 } from './allowances.js';
import { assumed } from './assumptions.js';
import { fillMinutes } from './bench-times.js';
import type { FillKind } from './choose-fills.js';
import type { Allowance } from './mix-document.js';
import { fits, type Limits, type Load, packInOrder, packItems } from './pack.js';
import { type Piece, type PlateLoad, siliconeMl } from './plate-load.js';
import type { Recipe } from './recipe.js';

/** What one fill of one plate takes of one material: what is poured from one cup. */
export interface Dose {
  readonly plate: number;
  readonly material: number;
  readonly pieces: readonly Piece[];
  readonly piecesG: number;
  readonly allowances: readonly Allowance[];
  readonly minutes: number;
}

/** Index of the material that a piece is cast in. */
export type MaterialOf = (plate: number, piece: Piece) => number;

export interface DoseOptions extends LossOptions {
  readonly recipes: readonly Recipe[];
  readonly materialOf: MaterialOf;
}

export function massOf(pieces: readonly Piece[], recipe: Recipe): number {
  return pieces.reduce((sum, piece) => sum + siliconeMl(piece), 0) * recipe.densityGPerMl;
}

/** The doses of one fill, one for each material in it. What is scraped off the land is shared by the masses. */
export function dosesOfFill(kind: FillKind, plate: PlateLoad, options: DoseOptions): Dose[] {
  const sweptMm2 = sweptLandMm2(kind.pieces, plate);
  // Low land between the pieces of a fill is filled with them, and no other.
  const lowLandMm3 = plate.landAreaMm2 ? (plate.lowLandMm3 * sweptMm2) / plate.landAreaMm2 : 0;
  const fillMl = kind.pieces.reduce((sum, piece) => sum + siliconeMl(piece), 0);
  const materials = [...new Set(kind.pieces.map((piece) => options.materialOf(kind.plate, piece)))];
  return materials
    .toSorted((a, b) => a - b)
    .map((material) => {
      const pieces = kind.pieces.filter((piece) => options.materialOf(kind.plate, piece) === material);
      const recipe = options.recipes[material]!;
      const piecesG = massOf(pieces, recipe);
      const share = piecesG / recipe.densityGPerMl / fillMl;
      return {
        plate: kind.plate,
        material,
        pieces,
        piecesG,
        allowances: fillAllowances(piecesG, sweptMm2 * share, lowLandMm3 * share, recipe.densityGPerMl, options),
        minutes: fillMinutes(assumed(options.way, options.assume), pieces.length),
      };
    });
}

export function loadOf(dose: Dose): Load {
  return { grams: dose.allowances.reduce((sum, { massG }) => sum + massG, dose.piecesG), minutes: dose.minutes };
}

/**
 * A dose that no cup, scale or pot life takes whole is poured from several, as few and as equal as can be, each with
 * some of the cavities. A single cavity that is still too much stays as it is.
 */
export function splitToFit(dose: Dose, limits: Limits, recipe: Recipe, options: DoseOptions): Dose[] {
  if (dose.pieces.length === 1 || fits(loadOf(dose), limits)) return [dose];
  const assume = assumed(options.way, options.assume);
  const part = (pieces: readonly Piece[]): Dose => {
    const piecesG = massOf(pieces, recipe);
    const share = piecesG / dose.piecesG;
    const allowances = dose.allowances.map((line) => ({ ...line, massG: line.massG * share }));
    return { ...dose, pieces, piecesG, allowances, minutes: fillMinutes(assume, pieces.length) };
  };
  const alone = dose.pieces.map((piece) => part([piece]));
  const tooMuch = alone.filter((one) => !fits(loadOf(one), limits));
  const good = alone.filter((one) => fits(loadOf(one), limits));
  // Each cup has the time of a fill once; the cavities add to it.
  const perCavity = { grams: limits.grams, minutes: Math.max(1e-6, limits.minutes - assume.fillMin) };
  const loads = good.map((one) => ({ grams: loadOf(one).grams, minutes: assume.cavityMin }));
  // Neighbours in one cup are easier to pour; any other choice only where it saves a cup.
  const [inOrder, packed] = good.length === 0 ? [[], []] : [packInOrder(loads, perCavity), packItems(loads, perCavity)];
  const groups = packed.length < inOrder.length ? packed : inOrder;
  return [...groups.map((group) => part(group.flatMap((i) => good[i]!.pieces))), ...tooMuch];
}
