import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** How the land's noise hangs together from point to point. */
export interface NoiseGrain {
  /** The autocorrelation integrated over the plane: means over an area A have the variance sigma² grain / A, mm². */
  readonly grainMm2: number;
  /** Area that one vertex stands for: the grain of noise that is independent from vertex to vertex, mm². */
  readonly vertexMm2: number;
  /** The same grain where noise is alike from vertex to vertex, mm²; 0 where vertices are independent. */
  readonly alikeMm2: number;
}

export const noGrain: NoiseGrain = { grainMm2: 0, vertexMm2: 0, alikeMm2: 0 };

const reachMm = 6;
const binMm = 0.25;
const bins = reachMm / binMm;
const mostCentres = 1500;
const mostNeighbours = 400;
/** Correlation under this is the estimate's own doubt. */
const leastCorrelation = 0.08;

/**
 * The grain of the noise, from the land's heights: products of the heights of pairs of vertices by their distance, each
 * height against the mean of its surroundings (the empirical covariogram, Matheron 1963). What is alike over more than a few
 * millimetres is the land's shape, not noise.
 * @param isLand per vertex, 1 where it is land
 */
export function noiseGrain(mesh: TriangleMesh, isLand: Uint8Array): NoiseGrain {
  const { positions: p } = mesh;
  const cells = new Map<number, number[]>();
  const key = (x: number, y: number) => Math.floor(x / reachMm) * 65536 + Math.floor(y / reachMm);
  let count = 0;
  for (let v = 0; v < isLand.length; v++) {
    if (isLand[v] === 0) continue;
    count++;
    const cell = key(p[3 * v]!, p[3 * v + 1]!);
    const list = cells.get(cell);
    if (list === undefined) cells.set(cell, [v]);
    else list.push(v);
  }
  const sums = new Float64Array(bins);
  const pairs = new Float64Array(bins);
  const vertexMm2 = areaOfVertex(mesh, isLand);
  let [variance, centres, byCount] = [0, 0, 0];
  const every = Math.max(1, Math.floor(count / mostCentres));
  let next = 0;
  for (let v = 0; v < isLand.length; v++) {
    if (isLand[v] === 0 || next++ % every !== 0) continue;
    const [x, y] = [p[3 * v]!, p[3 * v + 1]!];
    const near: number[] = [];
    for (let dx = -1; dx <= 1; dx++) {
      for (let dy = -1; dy <= 1; dy++) {
        for (const w of cells.get(key(x + dx * reachMm, y + dy * reachMm)) ?? []) {
          if ((p[3 * w]! - x) ** 2 + (p[3 * w + 1]! - y) ** 2 < reachMm * reachMm) near.push(w);
        }
      }
    }
    if (near.length < 20) continue;
    const mean = near.reduce((sum, w) => sum + p[3 * w + 2]!, 0) / near.length;
    const own = p[3 * v + 2]! - mean;
    variance += own * own;
    centres++;
    byCount += 1 / near.length;
    const step = Math.max(1, Math.floor(near.length / mostNeighbours));
    for (let i = 0; i < near.length; i += step) {
      const w = near[i]!;
      if (w === v) continue;
      const bin = Math.floor(Math.hypot(p[3 * w]! - x, p[3 * w + 1]! - y) / binMm);
      sums[bin]! += own * (p[3 * w + 2]! - mean);
      pairs[bin]!++;
    }
  }
  if (centres < 50) return noGrain;
  // Land that ends within reach leaves fewer neighbours to take the mean of.
  const area = (vertexMm2 * centres) / byCount;
  // A few pairs that noise brought nearer together than the spacing say nothing.
  const isFilled = (count: number) => count > centres / 10;
  let [grainMm2, alikeMm2] = [vertexMm2, 0];
  for (let round = 0; round < 4; round++) {
    // The mean of the surroundings took its own variance off every product.
    const lost = (grainMm2 / area) * (variance / centres);
    const whole = variance / centres + lost;
    let integral = 0;
    let atZero: number | null = null;
    for (let bin = 0; bin < bins; bin++) {
      if (!isFilled(pairs[bin]!)) continue;
      const correlation = (sums[bin]! / pairs[bin]! + lost) / whole;
      if (!(correlation > leastCorrelation)) break;
      atZero ??= Math.min(1, correlation);
      integral += 2 * Math.PI * (bin + 0.5) * binMm * binMm * correlation;
    }
    const first = pairs.findIndex(isFilled);
    // what lies nearer than the first neighbours
    if (atZero !== null) integral += Math.PI * (first * binMm) ** 2 * atZero;
    // beyond the cut a Gaussian autocorrelation has as much of its integral as it is high there
    integral /= 1 - leastCorrelation;
    grainMm2 = Math.max(vertexMm2, integral + (1 - (atZero ?? 0)) * vertexMm2);
    alikeMm2 = atZero === null ? 0 : grainMm2;
  }
  return { grainMm2, vertexMm2, alikeMm2 };
}

/** A closed net has twice as many triangles as points. */
function areaOfVertex({ positions: p, triangles }: TriangleMesh, isLand: Uint8Array): number {
  let [area, count] = [0, 0];
  for (let t = 0; t < triangles.length; t += 3) {
    const [i, j, k] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    if (isLand[i] === 0 || isLand[j] === 0 || isLand[k] === 0) continue;
    const [a, b, c] = [3 * i, 3 * j, 3 * k];
    const own = (p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!);
    if (!(own > 0)) continue;
    area += own / 2;
    count++;
  }
  return count === 0 ? 0 : (2 * area) / count;
}

/** Side of the cells over which the land is averaged until its noise no longer shows, mm. */
export function calmCellMm(noiseMm: number, { grainMm2 }: NoiseGrain): number {
  return Math.min(20, Math.max(4, (noiseMm * Math.sqrt(grainMm2)) / 0.01));
}
