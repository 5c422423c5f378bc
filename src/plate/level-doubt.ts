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
  let [n, x, y] = [0, 0, 0];
  weights.forEach((w, v) => {
    n += w;
    x += w * p[3 * v]!;
    y += w * p[3 * v + 1]!;
  });
  if (n > 0) [x, y] = [x / n, y / n];
  // About the middle of the land the height is independent of the slopes in N.
  let [nxx, nxy, nyy] = [0, 0, 0];
  let [hh, hx, hy, xx, xy, yy] = [0, 0, 0, 0, 0, 0];
  weights.forEach((w, v) => {
    if (w === 0) return;
    const [dx, dy] = [p[3 * v]! - x, p[3 * v + 1]! - y];
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
  });
  const figureMm = 2 * coordinateStepMm;
  const det = nxx * nyy - nxy * nxy;
  if (noiseMm === 0 || !(det > 0)) return { x, y, covariance: [0, 0, 0, 0, 0, 0], figureMm };
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

/** The fit weighs by area: what each vertex gets of the triangles that lie on the land with all corners, mm². */
function landWeights({ positions: p, triangles }: TriangleMesh, isLand: Uint8Array): Float32Array {
  const weights = new Float32Array(isLand.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [i, j, k] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    if (isLand[i] === 0 || isLand[j] === 0 || isLand[k] === 0) continue;
    const [a, b, c] = [3 * i, 3 * j, 3 * k];
    const area = (p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!);
    if (!(area > 0)) continue;
    for (const v of [i, j, k]) weights[v]! += area / 6;
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
