/**
 * Solves a x = b for a symmetric positive definite matrix (Cholesky), of which the lower half is read and overwritten.
 * @returns null where it is not positive definite
 */
export function solvePositive(a: readonly Float64Array[], b: ArrayLike<number>): Float64Array | null {
  const m = a.length;
  for (let r = 0; r < m; r++) {
    for (let c = 0; c <= r; c++) {
      let sum = a[r]![c]!;
      for (let k = 0; k < c; k++) sum -= a[r]![k]! * a[c]![k]!;
      if (r === c) {
        if (!(sum > 0)) return null;
        a[r]![r] = Math.sqrt(sum);
      } else {
        a[r]![c] = sum / a[c]![c]!;
      }
    }
  }
  const x = Float64Array.from(b);
  for (let r = 0; r < m; r++) {
    for (let k = 0; k < r; k++) x[r]! -= a[r]![k]! * x[k]!;
    x[r]! /= a[r]![r]!;
  }
  for (let r = m - 1; r >= 0; r--) {
    for (let k = r + 1; k < m; k++) x[r]! -= a[k]![r]! * x[k]!;
    x[r]! /= a[r]![r]!;
  }
  return x;
}
