import { inBatches } from '../base/batches.js';
import { solvePositive } from '../base/cholesky.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { powers } from './fit-bow.js';
import type { NoiseGrain } from './noise-grain.js';
import type { ScrapeSurface } from './scrape-surface.js';

/** How well the height of the scrape surface is known: what the covariance of the surface fitted to the land is made of. */
export interface LevelDoubt {
  /** Middle of the land's points, and the length that its coordinates are divided by, mm. */
  readonly x: number;
  readonly y: number;
  readonly lengthMm: number;
  /** N = Σ w φ φᵀ over the land's points, φ the terms of the surface: 3 of a plane, 15 of a bow. Lower half, by rows. */
  readonly normal: Float64Array;
  /** Σ w² r² φ φᵀ, r the residuals, mm². */
  readonly scatter: Float64Array;
  /** Standard uncertainty that is the same everywhere: the figure of the coordinates, mm. */
  readonly figureMm: number;
}

/** The terms of the surface integrated over a part of the plate in plan, the first of which is its area, mm². */
export type LevelArea = Float64Array;

/**
 * The covariance of a surface fitted by least squares, N⁻¹ (Σ w² r² φ φᵀ) N⁻¹ with N = Σ w φ φᵀ: every point with its own
 * residual r, since noise is not the same all over a scan (White 1980, A heteroskedasticity-consistent covariance matrix
 * estimator), and with the area w that it stands for. Points whose noise is alike count for as many as their grain leaves
 * independent.
 * @param isLand per vertex, 1 where the fit took it for land
 */
export function levelDoubt(
  mesh: TriangleMesh,
  isLand: Uint8Array,
  noiseMm: number,
  { grainMm2, vertexMm2 }: NoiseGrain,
  kind: ScrapeSurface['kind'],
  coordinateStepMm: number,
): LevelDoubt {
  const { positions: p } = mesh;
  const figureMm = 2 * coordinateStepMm;
  // A plane through points that are off by no more than the figure is known better than that.
  const isExact = noiseMm === 0 || (kind === 'flat' && noiseMm <= figureMm);
  const weights = isExact ? new Float32Array() : landWeights(mesh, isLand);
  const [n, mx, my] = weightedMiddle(p, weights);
  const x = n > 0 ? mx / n : 0;
  const y = n > 0 ? my / n : 0;
  const lengthMm = Math.sqrt(n) || 1;
  const count = kind === 'bowed' ? powers.length : 3;
  const normal = new Float64Array((count * (count + 1)) / 2);
  const scatter = new Float64Array(normal.length);
  const alike = vertexMm2 > 0 ? Math.max(1, grainMm2 / vertexMm2) : 1;
  const sums = { normal, scatter };
  const place = { x, y, lengthMm };
  inBatches(weights.length, (from, to) => addPoints(p, weights, alike, place, from, to, sums));
  return { x, y, lengthMm, normal, scatter, figureMm };
}

function addPoints(
  p: Float64Array,
  weights: Float32Array,
  alike: number,
  { x, y, lengthMm }: Pick<LevelDoubt, 'x' | 'y' | 'lengthMm'>,
  from: number,
  to: number,
  { normal, scatter }: Pick<LevelDoubt, 'normal' | 'scatter'>,
): void {
  const count = termsIn(normal);
  const terms = new Float64Array(count);
  for (let v = from; v < to; v++) {
    const w = weights[v]!;
    if (w === 0) continue;
    fillTerms(terms, (p[3 * v]! - x) / lengthMm, (p[3 * v + 1]! - y) / lengthMm);
    const square = alike * (w * p[3 * v + 2]!) ** 2;
    for (let r = 0, at = 0; r < count; r++) {
      for (let c = 0; c <= r; c++, at++) {
        const product = terms[r]! * terms[c]!;
        normal[at]! += w * product;
        scatter[at]! += square * product;
      }
    }
  }
}

/** The terms of fit-bow.ts, as many as there is room for: each degree from the one before, times u, the last one times v. */
function fillTerms(terms: Float64Array, u: number, v: number): void {
  terms[0] = 1;
  let before = 0;
  let at = 1;
  for (let degree = 1; at < terms.length; degree++) {
    for (let j = 0; j < degree; j++) terms[at + j] = terms[before + j]! * u;
    terms[at + degree] = terms[before + degree - 1]! * v;
    before = at;
    at += degree + 1;
  }
}

/** Sums of the weights, and of the weights times x and y. */
function weightedMiddle(p: Float64Array, weights: Float32Array): [number, number, number] {
  let n = 0;
  let x = 0;
  let y = 0;
  for (let v = 0; v < weights.length; v++) {
    const w = weights[v]!;
    n += w;
    x += w * p[3 * v]!;
    y += w * p[3 * v + 1]!;
  }
  return [n, x, y];
}

/** The fit weighs by area: what each vertex gets of the triangles that lie on the land with all corners, mm². */
function landWeights({ positions: p, triangles }: TriangleMesh, isLand: Uint8Array): Float32Array {
  const weights = new Float32Array(isLand.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const i = triangles[t]!;
    const j = triangles[t + 1]!;
    const k = triangles[t + 2]!;
    if (isLand[i] === 0 || isLand[j] === 0 || isLand[k] === 0) continue;
    const a = 3 * i;
    const b = 3 * j;
    const c = 3 * k;
    const area = (p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!);
    if (!(area > 0)) continue;
    const third = area / 6;
    weights[i]! += third;
    weights[j]! += third;
    weights[k]! += third;
  }
  return weights;
}

/** What the height of the scrape surface counts for in the integral over some triangles. */
export function levelArea(level: LevelDoubt, mesh: TriangleMesh, own: Uint32Array): LevelArea {
  const sums = new Float64Array(termsIn(level.normal));
  const terms = new Float64Array(sums.length);
  inBatches(own.length, (from, to) => addLevelArea(level, mesh, own, from, to, terms, sums));
  return sums;
}

function addLevelArea(
  { x, y, lengthMm }: LevelDoubt,
  { positions: p, triangles }: TriangleMesh,
  own: Uint32Array,
  from: number,
  to: number,
  terms: Float64Array,
  sums: LevelArea,
): void {
  for (let i = from; i < to; i++) {
    const t = 3 * own[i]!;
    const a = 3 * triangles[t]!;
    const b = 3 * triangles[t + 1]!;
    const c = 3 * triangles[t + 2]!;
    const area = ((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!)) / 2;
    const mx = (p[a]! + p[b]! + p[c]!) / 3;
    const my = (p[a + 1]! + p[b + 1]! + p[c + 1]!) / 3;
    fillTerms(terms, (mx - x) / lengthMm, (my - y) / lengthMm);
    for (let k = 0; k < sums.length; k++) sums[k]! += area * terms[k]!;
  }
}

/** Of how many terms a lower half by rows is made. */
function termsIn({ length }: Float64Array): number {
  return (Math.sqrt(8 * length + 1) - 1) / 2;
}

/** Standard uncertainty of the volume over some areas together for the height of the scrape surface, mm³. */
export function levelSigmaMm3({ normal, scatter, figureMm }: LevelDoubt, areas: readonly LevelArea[]): number {
  const count = termsIn(normal);
  const whole = Float64Array.from({ length: count }, (_, k) => areas.reduce((sum, area) => sum + area[k]!, 0));
  const figure = figureMm * whole[0]!;
  // as in the fit, a breath of damping for what the land does not determine
  const rows = Array.from({ length: count }, (_, r) => normal.slice((r * (r + 1)) / 2, ((r + 1) * (r + 2)) / 2));
  rows.forEach((row, r) => {
    row[r]! += 1e-9 * normal[0]!;
  });
  const pull = solvePositive(rows, whole);
  if (pull === null) return figure;
  let variance = 0;
  for (let r = 0, at = 0; r < count; r++) {
    for (let c = 0; c <= r; c++, at++) variance += (c < r ? 2 : 1) * scatter[at]! * pull[r]! * pull[c]!;
  }
  return Math.sqrt(figure ** 2 + Math.max(0, variance));
}
