import { solvePositive } from '../../src/base/cholesky.js';

/** Noise of a scan that is alike from point to point: autocorrelation sigma² exp(-d²/2c²). */
export interface AlikeNoise {
  readonly sigmaMm: number;
  /** c of the autocorrelation, mm. */
  readonly widthMm: number;
  readonly spacingMm: number;
}

/**
 * Standard deviation of the volume that such noise adds over an opening of area A and rim length P, mm³: the variance is
 * sigma² times the integral of exp(-d²/2c²) times the opening's overlap with itself moved by d, A - P d / pi for small d
 * (Matheron's geometric covariogram): sigma² (2 pi c² A - P c³ sqrt(2 pi)).
 */
export function ownSigmaMm3({ sigmaMm, widthMm: c }: AlikeNoise, areaMm2: number, rimMm: number): number {
  return sigmaMm * Math.sqrt(2 * Math.PI * c * c * areaMm2 - rimMm * c ** 3 * Math.sqrt(2 * Math.PI));
}

/**
 * Standard deviations for an elliptic opening, mm³: of the noise's own volume, and of what is left of it when all that the
 * land round the rim tells is taken off, by the best of all linear unbiased estimates (simple kriging; Matheron 1963). The
 * wall itself tells nothing, as any of its heights may be the mould's. Land counts from `marginMm` outside the rim on: what
 * lies nearer may be the rim's rounding.
 */
export function boundMm3({ sigmaMm, widthMm, spacingMm: h }: AlikeNoise, a: number, b: number, marginMm: number) {
  const reach = 4.5 * widthMm;
  const covariance = (dx: number, dy: number) => sigmaMm ** 2 * Math.exp(-(dx * dx + dy * dy) / (2 * widthMm ** 2));
  const land: [number, number][] = [];
  const rows = Math.ceil((b + reach) / (h * Math.sqrt(0.75)));
  const columns = Math.ceil((a + reach) / h);
  for (let j = -rows; j <= rows; j++) {
    for (let i = -columns; i <= columns; i++) {
      const [x, y] = [(i + (Math.abs(j) % 2) / 2) * h, j * h * Math.sqrt(0.75)];
      // distance from the rim along the line to the middle: near enough for a margin
      const share = Math.hypot(x / a, y / b);
      const outside = ((share - 1) * Math.hypot(x, y)) / share;
      if (share > 1 && outside > marginMm && outside < reach) land.push([x, y]);
    }
  }
  const cellMm = h / 2;
  const inside: [number, number][] = [];
  for (let x = -a + cellMm / 2; x < a; x += cellMm)
    for (let y = -b + cellMm / 2; y < b; y += cellMm) if ((x / a) ** 2 + (y / b) ** 2 < 1) inside.push([x, y]);
  const overInside = (x: number, y: number) =>
    inside.reduce((sum, [u, v]) => sum + covariance(x - u, y - v), 0) * cellMm ** 2;
  const own = inside.reduce((sum, [x, y]) => sum + overInside(x, y), 0) * cellMm ** 2;
  const matrix = land.map(([x, y], r) => Float64Array.from(land.slice(0, r + 1), ([u, v]) => covariance(x - u, y - v)));
  // a fiftieth of the noise, independent from point to point: smoother fields than that no scanner has
  for (const [r, row] of matrix.entries()) row[r]! += (sigmaMm / 50) ** 2;
  const told = land.map(([x, y]) => overInside(x, y));
  const weights = solvePositive(matrix, told)!;
  const left = own - told.reduce((sum, value, i) => sum + value * weights[i]!, 0);
  return { ownMm3: Math.sqrt(own), leftMm3: Math.sqrt(left) };
}
