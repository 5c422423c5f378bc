/**
 * A smooth surface through the land: a polynomial of degree 4 in x and y, by least squares over the land's cells. It
 * follows a bow, a twist and an S, and carries the land's curvature across the openings; of a shorter wave it sees
 * nothing. Tried against it: a plane lid over a bow of 0.6 mm in 160 mm errs by up to 1.6 % of a volume; degree 2 misses
 * an S; local averages do not reach across an opening of 40 mm.
 */
import { solvePositive } from '../base/cholesky.js';
import type { LandCells } from './land-cells.js';
import type { ScrapeSurface } from './scrape-surface.js';

/** Powers of x and y in the terms of the polynomial, low degrees first: the first three make a plane. */
export const powers: readonly (readonly [number, number])[] = [0, 1, 2, 3, 4].flatMap((degree) =>
  Array.from({ length: degree + 1 }, (_, j) => [degree - j, j] as const),
);

/**
 * @param trim drop cells farther from the surface than three robust standard deviations, in rounds: for a land whose
 * cavities are not yet known
 */
export function fitBow(cells: LandCells, trim: boolean): ScrapeSurface | null {
  if (cells.count < 4 * powers.length) return null;
  const box = [Math.min(...cells.x), Math.max(...cells.x), Math.min(...cells.y), Math.max(...cells.y)] as const;
  // Coordinates from -1 to 1 keep the equations well conditioned.
  const [cx, cy] = [(box[0] + box[1]) / 2, (box[2] + box[3]) / 2];
  const [hx, hy] = [(box[1] - box[0]) / 2 || 1, (box[3] - box[2]) / 2 || 1];
  const terms = (x: number, y: number) => {
    const u = (x - cx) / hx;
    const v = (y - cy) / hy;
    return powers.map(([i, j]) => u ** i * v ** j);
  };
  let used = Uint8Array.from({ length: cells.count }, () => 1);
  let coefficients: Float64Array | null = null;
  for (let round = 0; round < (trim ? 12 : 1); round++) {
    // Low degrees first, so that a high one does not dive into the cavities of a land not yet known.
    const count = trim && round < 6 ? 6 : powers.length;
    const solved = leastSquares(cells, used, (i) => terms(cells.x[i]!, cells.y[i]!).slice(0, count));
    if (solved === null) break;
    coefficients = solved;
    const rests = Float64Array.from(cells.z, (z, i) => Math.abs(z - evaluate(solved, terms(cells.x[i]!, cells.y[i]!))));
    const sorted = rests.filter((_, i) => used[i] === 1).sort();
    const limit = Math.max(0.005, 3 * 1.4826 * sorted[sorted.length >> 1]!);
    used = Uint8Array.from(rests, (rest) => (rest <= limit ? 1 : 0));
  }
  if (coefficients === null) return null;
  const fitted = coefficients;
  // Asked for every vertex: Horner's rule in x for each power of y, without a list of terms.
  const rows = [0, 1, 2, 3, 4].map((j) =>
    [0, 1, 2, 3, 4].map((i) => fitted[powers.findIndex(([p, q]) => p === i && q === j)] ?? 0),
  );
  return {
    kind: 'bowed',
    heightAt: (x, y) => {
      const u = (x - cx) / hx;
      const v = (y - cy) / hy;
      let height = 0;
      for (let j = 4; j >= 0; j--) {
        const row = rows[j]!;
        height = height * v + (((row[4]! * u + row[3]!) * u + row[2]!) * u + row[1]!) * u + row[0]!;
      }
      return height;
    },
  };
}

function evaluate(coefficients: Float64Array, values: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < coefficients.length; k++) sum += coefficients[k]! * values[k]!;
  return sum;
}

/** Normal equations with a breath of damping for what the land does not determine. */
function leastSquares(cells: LandCells, used: Uint8Array, termsOf: (i: number) => number[]): Float64Array | null {
  const m = termsOf(0).length;
  const matrix = Array.from({ length: m }, () => new Float64Array(m));
  const right = new Float64Array(m);
  for (let i = 0; i < cells.count; i++) {
    if (used[i] === 0) continue;
    const terms = termsOf(i);
    const w = cells.area[i]!;
    for (let r = 0; r < m; r++) {
      right[r]! += w * terms[r]! * cells.z[i]!;
      for (let c = 0; c <= r; c++) matrix[r]![c]! += w * terms[r]! * terms[c]!;
    }
  }
  const damping = 1e-9 * matrix[0]![0]!;
  for (let r = 0; r < m; r++) matrix[r]![r]! += damping;
  return solvePositive(matrix, right);
}
