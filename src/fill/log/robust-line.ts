import { studentQuantile } from './student.js';

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Estimate {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

export interface RobustLine {
  /** y at x = 0, and the rise per x; the two intervals hold together with a confidence of 98 %. */
  readonly intercept: Estimate;
  readonly slope: Estimate;
  /** Indices of the points that were left out as gross errors. */
  readonly outliers: readonly number[];
  /** Standard deviation of what the line leaves. */
  readonly sigma: number;
}

/** Residuals beyond this many standard deviations are gross errors. */
const cut = 3;
/** Variance that is left of a normal distribution cut there: 1 - 2 c phi(c) / (2 Phi(c) - 1). */
const cutVariance = 0.9733;

/**
 * A straight line through points of which some may be grossly wrong: least median of squares over all pairs, then
 * ordinary least squares on the points within 3 standard deviations of it (Rousseeuw, Leroy: Robust Regression and
 * Outlier Detection, 1987, chapters 2 and 5). The first scale, from a median, is coarse on twenty points and cuts good
 * ones; so the cut is repeated with the scale of the fit itself until it stays. The intervals are Student's, at 99 %
 * each, so that both hold with 98 % (Bonferroni), the scale corrected for the cut.
 * @returns undefined with fewer than five points, or where x does not vary enough to tell the two apart
 */
export function robustLine(points: readonly Point[]): RobustLine | undefined {
  const n = points.length;
  const spread = Math.max(...points.map(({ x }) => x)) - Math.min(...points.map(({ x }) => x));
  if (n < 5 || !(spread > 1e-9)) return undefined;
  const start = leastMedianLine(points);
  if (start === undefined) return undefined;
  const within = (line: { a: number; b: number }, scale: number) =>
    points.flatMap(({ x, y }, i) => (Math.abs(y - line.a - line.b * x) <= cut * scale ? [i] : []));
  const coarse = 1.4826 * (1 + 5 / (n - 2)) * Math.sqrt(start.medianSquare);
  let kept = within(start, Math.max(coarse, 1e-9));
  for (let round = 0; round < 20; round++) {
    const fit = leastSquares(
      kept.map((i) => points[i]!),
      cutVariance,
    );
    if (fit === undefined) return undefined;
    const next = within({ a: fit.intercept.value, b: fit.slope.value }, Math.max(fit.sigma, 1e-9));
    const stays = next.length === kept.length && next.every((point, i) => point === kept[i]);
    if (stays || round === 19) return { ...fit, outliers: points.map((_, i) => i).filter((i) => !kept.includes(i)) };
    kept = next;
  }
  return undefined;
}

function leastMedianLine(points: readonly Point[]): { a: number; b: number; medianSquare: number } | undefined {
  let best: { a: number; b: number; medianSquare: number } | undefined;
  const middle = Math.floor((points.length + 3) / 2) - 1;
  for (let i = 0; i < points.length; i++) {
    for (let j = i + 1; j < points.length; j++) {
      const [p, q] = [points[i]!, points[j]!];
      if (p.x === q.x) continue;
      const b = (q.y - p.y) / (q.x - p.x);
      const rough = p.y - b * p.x;
      // The best intercept for this slope is the middle of the shortest half of the offsets.
      const offsets = points.map(({ x, y }) => y - b * x - rough).toSorted((u, v) => u - v);
      let half = Number.POSITIVE_INFINITY;
      let shift = 0;
      for (let k = 0; k + middle < offsets.length; k++) {
        const width = (offsets[k + middle]! - offsets[k]!) / 2;
        if (width < half) [half, shift] = [width, (offsets[k + middle]! + offsets[k]!) / 2];
      }
      if (best === undefined || half ** 2 < best.medianSquare) best = { a: rough + shift, b, medianSquare: half ** 2 };
    }
  }
  return best;
}

/**
 * Ordinary least squares.
 * @param keptVariance share of the variance that is left where points were cut
 */
export function leastSquares(points: readonly Point[], keptVariance = 1): Omit<RobustLine, 'outliers'> | undefined {
  const n = points.length;
  const degrees = n - 2;
  const meanX = points.reduce((sum, { x }) => sum + x, 0) / n;
  const meanY = points.reduce((sum, { y }) => sum + y, 0) / n;
  const xx = points.reduce((sum, { x }) => sum + (x - meanX) ** 2, 0);
  if (degrees < 2 || !(xx > 1e-12)) return undefined;
  const slope = points.reduce((sum, { x, y }) => sum + (x - meanX) * (y - meanY), 0) / xx;
  const intercept = meanY - slope * meanX;
  const left = points.reduce((sum, { x, y }) => sum + (y - intercept - slope * x) ** 2, 0);
  const sigma = Math.sqrt(left / degrees / keptVariance);
  const t = studentQuantile(0.995, degrees);
  const around = (value: number, error: number): Estimate => ({
    value,
    low: value - t * error,
    high: value + t * error,
  });
  return {
    slope: around(slope, sigma / Math.sqrt(xx)),
    intercept: around(intercept, sigma * Math.sqrt(1 / n + meanX ** 2 / xx)),
    sigma,
  };
}
