import { bridgedCreases, fieldOf, fieldTruth, roundedEdges } from '../../fixtures/make/height-field.js';
import { type PlatePlan, plateScan } from '../../fixtures/make/plate.js';

/** A plate whose rims have a radius of 0.3 mm and whose creases are bridged alike, and what that holds. */
export function worn(plan: PlatePlan, marginMm = 0) {
  const made = plateScan(plan);
  const field = bridgedCreases(roundedEdges(fieldOf(made.mesh, 0.1, marginMm, -plan.blockMm), 0.3), 0.3);
  return { made, field, truths: fieldTruth(field, made) };
}

/** Where the scanner looks from: from above three corners. */
export const viewpoints = [
  [-40, -40, 250],
  [160, -40, 250],
  [60, 140, 250],
] as const;
