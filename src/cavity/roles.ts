/** What a hollow is for, suggested by its shape and place; the person has the last word. */
export type HollowRole = 'piece' | 'key' | 'gutter' | 'mark';

export interface HollowShape {
  readonly openingMm2: number;
  readonly rimLengthMm: number;
  /** Diameter of the largest circle inside the opening; where that is over `wideMm`, any number over `wideMm`. */
  readonly widthMm: number;
  readonly depthMm: number;
  /** Least distances from the opening's middle to the plate's sides, along x and along y. */
  readonly toSideXMm: number;
  readonly toSideYMm: number;
  /** Length of the plate's longer side. */
  readonly plateLengthMm: number;
  /** Number of rim loops: 1 for the outer rim, and one an island. */
  readonly loops: number;
}

/*
 * The limits are common practice, no source. A groove is a mark where it is narrower than 3 mm; 5 % is left for facets,
 * which narrow a round groove of just 3 mm. A key is a small steep round hollow in a corner of the plate. A gutter is a
 * slender channel about as long as the plate.
 */
const mark = { widthMm: 3 * 0.95, openingMm2: 20 };
const key = { widthMm: 12, depthShare: 0.35, roundness: 0.85, cornerMm: 15 };
const gutter = { slender: 15, lengthShare: 0.8 };

/** A hollow wider than this is neither mark nor key, however wide it is. */
export const wideMm = key.widthMm;

export function suggestRole(shape: HollowShape): HollowRole {
  const { openingMm2, rimLengthMm, widthMm, depthMm } = shape;
  const meanWidthMm = (2 * openingMm2) / rimLengthMm;
  const lengthMm = rimLengthMm / 2;
  if (lengthMm > gutter.slender * meanWidthMm && lengthMm > gutter.lengthShare * shape.plateLengthMm) return 'gutter';
  if (widthMm < mark.widthMm || openingMm2 < mark.openingMm2) return 'mark';
  const roundness = (4 * Math.PI * openingMm2) / (rimLengthMm * rimLengthMm);
  const inCorner = shape.toSideXMm < key.cornerMm && shape.toSideYMm < key.cornerMm;
  const isStud = widthMm <= key.widthMm && depthMm >= key.depthShare * widthMm && roundness >= key.roundness;
  return isStud && inCorner && shape.loops === 1 ? 'key' : 'piece';
}
