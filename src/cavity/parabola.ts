/**
 * Least squares of v = a + b u + c u².
 * @param moments sums over all points of 1, u, u², u³, u⁴, v, u v, u² v
 * @param leastSpread standard deviation of u under which nothing is fixed
 * @returns a, b, c; c is 0 where the places fix a line only; null where not even that
 */
export function parabola(moments: Float64Array, leastSpread: number): [number, number, number] | null {
  const n = moments[0]!;
  const [m1, m2, m3, m4] = [moments[1]! / n, moments[2]! / n, moments[3]! / n, moments[4]! / n];
  // About the mean of u, so that the solution keeps its digits.
  const c2 = m2 - m1 * m1;
  if (!(c2 > leastSpread * leastSpread)) return null;
  const c3 = m3 - 3 * m1 * m2 + 2 * m1 ** 3;
  const c4 = m4 - 4 * m1 * m3 + 6 * m1 * m1 * m2 - 3 * m1 ** 4;
  const [v0, v1, v2] = [moments[5]! / n, moments[6]! / n, moments[7]! / n];
  const d1 = v1 - m1 * v0;
  const d2 = v2 - 2 * m1 * v1 + m1 * m1 * v0 - c2 * v0;
  const determinant = c2 * (c4 - c2 * c2) - c3 * c3;
  const isBent = determinant > 1e-3 * c2 ** 3;
  const q = isBent ? (c2 * d2 - c3 * d1) / determinant : 0;
  const l = isBent ? ((c4 - c2 * c2) * d1 - c3 * d2) / determinant : d1 / c2;
  // v = v0 + l (u - m1) + q ((u - m1)² - c2)
  return [v0 - l * m1 + q * (m1 * m1 - c2), l - 2 * q * m1, q];
}
