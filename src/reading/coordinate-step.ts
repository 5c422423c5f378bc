import { boxOf } from '../mesh/triangle-mesh.js';

/** Spacing of float32 numbers of this magnitude. */
export function float32Step(magnitude: number): number {
  return magnitude < 2 ** -126 ? 2 ** -149 : 2 ** (Math.floor(Math.log2(magnitude)) - 23);
}

/** The largest magnitude of any coordinate of some points (x, y, z: stride 3). */
export function largestMagnitude(positions: Float64Array): number {
  return Math.max(0, ...boxOf(positions).map(Math.abs));
}

/** What the numbers of a text say of their own precision. Filled by `TextCursor`. */
export class WrittenPrecision {
  /** Most significant digits of any number. */
  digits = 0;
  /** Fewest and most decimals of any number; an exponent counts as decimals that vary. */
  fewestDecimals = Number.POSITIVE_INFINITY;
  mostDecimals = 0;

  /**
   * Spacing of the numbers that the text can tell apart at this magnitude. Numbers that all have the same two or more
   * decimals were rounded to them. Otherwise six digits and more are taken for rounded to that many; up to nine digits
   * were most likely float32 numbers once, and fewer than six are taken for exact.
   */
  stepAt(magnitude: number): number {
    const float32 = float32Step(magnitude);
    if (this.fewestDecimals === this.mostDecimals && this.mostDecimals >= 2) {
      const step = powerOfTen(-this.mostDecimals);
      return this.digits <= 9 ? Math.max(step, float32) : Math.max(step, float32 * 2 ** -29);
    }
    if (this.digits < 6) return float32;
    const step = powerOfTen(Math.floor(Math.log10(Math.max(magnitude, 1e-30))) + 1 - this.digits);
    return this.digits <= 9 ? Math.max(step, float32) : Math.max(step, float32 * 2 ** -29);
  }
}

/** The float64 nearest to it; `10 ** -5` is not. */
function powerOfTen(exponent: number): number {
  return Number(`1e${exponent}`);
}
