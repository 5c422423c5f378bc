import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { NoiseGrain } from './noise-grain.js';
import type { ScrapeSurface } from './scrape-surface.js';

/** How well the height of the scrape surface is known: the covariance of the plane that was fitted to the land. */
export interface LevelDoubt {
  /** Middle of the land's points, mm. */
  readonly x: number;
  readonly y: number;
  /** Covariances of the height there, mm, and of the slopes along x and y: hh, hx, hy, xx, xy, yy. */
  readonly covariance: readonly [number, number, number, number, number, number];
  /** Standard uncertainty that is the same everywhere: the figure of the coordinates, mm. */
  readonly figureMm: number;
}

/** A part of the plate in plan over which the height counts. */
export interface LevelArea {
  readonly areaMm2: number;
  readonly x: number;
  readonly y: number;
}

/** A bowed surface has 15 coefficients where a plane has 3: on average over the land its variance is as much larger. */
const bowedShare = 15 / 3;

/**
 * The covariance of a plane fitted by least squares, N⁻¹ (Σ w² r² x xᵀ) N⁻¹ with N = Σ w x xᵀ: every point with its own
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
  const weights = landWeights(mesh, isLand);
  const [n, mx, my] = weightedMiddle(p, weights);
  const x = n > 0 ? mx / n : 0;
  const y = n > 0 ? my / n : 0;
  const figureMm = 2 * coordinateStepMm;
  const exact: LevelDoubt = { x, y, covariance: [0, 0, 0, 0, 0, 0], figureMm };
  if (noiseMm === 0) return exact;
  // About the middle of the land the height is independent of the slopes in N.
  let [nxx, nxy, nyy] = [0, 0, 0];
  let [hh, hx, hy, xx, xy, yy] = [0, 0, 0, 0, 0, 0];
  for (let v = 0; v < weights.length; v++) {
    const w = weights[v]!;
    if (w === 0) continue;
    const dx = p[3 * v]! - x;
    const dy = p[3 * v + 1]! - y;
    nxx += w * dx * dx;
    nxy += w * dx * dy;
    nyy += w * dy * dy;
    const own = (w * p[3 * v + 2]!) ** 2;
    hh += own;
    hx += own * dx;
    hy += own * dy;
    xx += own * dx * dx;
    xy += own * dx * dy;
    yy += own * dy * dy;
  }
  const det = nxx * nyy - nxy * nxy;
  if (!(det > 0)) return exact;
  const alike = vertexMm2 > 0 ? Math.max(1, grainMm2 / vertexMm2) : 1;
  const share = alike * (kind === 'bowed' ? bowedShare : 1);
  const [ixx, ixy, iyy] = [nyy / det, -nxy / det, nxx / det];
  const [ax, ay] = [xx * ixx + xy * ixy, xy * ixx + yy * ixy];
  const [bx, by] = [xx * ixy + xy * iyy, xy * ixy + yy * iyy];
  return {
    ...{ x, y, figureMm },
    covariance: [
      (share * hh) / (n * n),
      (share * (hx * ixx + hy * ixy)) / n,
      (share * (hx * ixy + hy * iyy)) / n,
      share * (ixx * ax + ixy * ay),
      share * (ixx * bx + ixy * by),
      share * (ixy * bx + iyy * by),
    ],
  };
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

/** Standard uncertainty of the volume over some areas together for the height of the scrape surface, mm³. */
export function levelSigmaMm3(doubt: LevelDoubt, areas: readonly LevelArea[]): number {
  let [area, mx, my] = [0, 0, 0];
  for (const { areaMm2, x, y } of areas) {
    area += areaMm2;
    mx += areaMm2 * (x - doubt.x);
    my += areaMm2 * (y - doubt.y);
  }
  const [hh, hx, hy, xx, xy, yy] = doubt.covariance;
  const plane = hh * area * area + 2 * area * (hx * mx + hy * my) + xx * mx * mx + 2 * xy * mx * my + yy * my * my;
  return Math.sqrt((doubt.figureMm * area) ** 2 + Math.max(0, plane));
}
