import { fillAllowances, type LossOptions, sweptLandMm2 } from './allowances.js';
import { fillMinutes } from './bench-times.js';
import type { FillKind } from './choose-fills.js';
import type { Allowance } from './mix-document.js';
import { fits, type Limits, type Load } from './pack.js';
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
        allowances: fillAllowances(piecesG, sweptMm2 * share, recipe.densityGPerMl, options),
        minutes: fillMinutes(options.way, pieces.length),
      };
    });
}

export function loadOf(dose: Dose): Load {
  return { grams: dose.allowances.reduce((sum, { massG }) => sum + massG, dose.piecesG), minutes: dose.minutes };
}

/**
 * A dose that no cup, scale or pot life takes whole is poured cavity by cavity from several. A single cavity that is
 * still too much stays as it is.
 */
export function splitToFit(dose: Dose, limits: Limits, recipe: Recipe, options: DoseOptions): Dose[] {
  if (dose.pieces.length === 1 || fits(loadOf(dose), limits)) return [dose];
  const part = (pieces: readonly Piece[]): Dose => {
    const piecesG = massOf(pieces, recipe);
    const share = piecesG / dose.piecesG;
    const allowances = dose.allowances.map((line) => ({ ...line, massG: line.massG * share }));
    return { ...dose, pieces, piecesG, allowances, minutes: fillMinutes(options.way, pieces.length) };
  };
  const parts: Dose[] = [];
  let held: Piece[] = [];
  for (const piece of dose.pieces) {
    if (held.length > 0 && !fits(loadOf(part([...held, piece])), limits)) {
      parts.push(part(held));
      held = [];
    }
    held.push(piece);
  }
  return [...parts, part(held)];
}
