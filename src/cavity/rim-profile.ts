/**
 * Where a noisy wall reaches the scrape surface. The depth contour of a hollow lies well above the noise, but inside the
 * rim: on a feather of 3 degrees by 3 mm. From each point of the contour the heights outward (and some way inward) are
 * collected by their distance from the contour, pooled over the neighbouring stretch of it, and a hinge is fitted: a
 * straight wall that ends in the land, z = -slope max(0, rim - s). The hinge's foot is the rim; where the noise leaves room
 * for it, a parabola along the wall says better where it is.
 *
 * Reading the rim off the smoothed heights instead (where they come within the noise of the land) ends a 3 degree feather
 * 0.5 to 1 mm too early at a noise of 0.05 mm; a straight line through the wall alone cannot tell a feather that lies all
 * above the contour.
 */
import type { NoiseGrain } from '../plate/noise-grain.js';
import type { Contour } from './contour.js';
import type { PooledHeights, RimHeights } from './rim-heights.js';
import { bestHinge, fitHinge, heightProfile, inBins, nearerHinge } from './rim-hinge.js';
import { steepWall } from './steep-wall.js';
import { type WallNearRim, wallNearRim } from './wall-near-rim.js';

/** Per contour point the wall towards the rim. */
export interface RimFit {
  /** Distance from the contour outward to the rim, mm. */
  readonly rimMm: Float64Array;
  /** Fall of the wall per mm inward from the rim. */
  readonly slope: Float64Array;
  /** By how much that slope lessens per mm inward, 1/mm. */
  readonly bend: Float64Array;
}

/** Half the stretch of contour whose heights are pooled for one fit, mm; over 0.6 of it the fits are averaged. */
const leastPoolMm = 2.5;
/** Spacing of the fits along the contour, mm. */
const stationMm = 0.6;

export function fitRims(
  contour: Contour,
  heights: RimHeights,
  limitMm: number,
  noiseMm: number,
  grain: NoiseGrain,
): RimFit {
  const { points, outward } = contour;
  const nodes = points.length / 2;
  // Noise that is alike over some length is only averaged out over several such lengths.
  const poolMm = Math.min(5, Math.max(leastPoolMm, 2 * Math.sqrt(grain.grainMm2)));
  const averageMm = 0.6 * poolMm;
  // The noise that as many independent points would have to have for their mean to be as doubtful.
  const doubtMm = noiseMm * Math.sqrt(grain.vertexMm2 > 0 ? grain.grainMm2 / grain.vertexMm2 : 1);
  const stations = thinOut(points, stationMm);
  const near = cellIndex(points, stations, poolMm);
  const sameWay = (i: number, j: number) =>
    outward[2 * i]! * outward[2 * j]! + outward[2 * i + 1]! * outward[2 * j + 1]! > 0.5;

  const members: number[][] = stations.map(() => []);
  for (let node = 0; node < nodes; node++) {
    near(points[2 * node]!, points[2 * node + 1]!, poolMm, (k) => {
      if (sameWay(node, stations[k]!)) members[k]!.push(node);
    });
  }
  const pool = pooling(heights, nodes);
  const walls = stations.map((_, k): WallNearRim => {
    const pooled = pool(members[k]!);
    const profile = heightProfile(pooled, limitMm);
    const outer = bestHinge(profile, inBins, limitMm);
    const shallow = fitHinge(profile, outer, limitMm, doubtMm);
    const steep = steepWall(pooled, profile, limitMm, noiseMm);
    const hinge = steep === null ? shallow : outer.gain === 0 ? steep : nearerHinge(pooled, limitMm, steep, shallow);
    return wallNearRim(pooled, hinge, noiseMm, doubtMm) ?? { ...hinge, bend: 0 };
  });
  // The middle half of the neighbouring fits, averaged: one bad fit does not show.
  const rimMm = new Float64Array(nodes);
  const slope = new Float64Array(nodes);
  const bend = new Float64Array(nodes);
  for (let node = 0; node < nodes; node++) {
    const own: WallNearRim[] = [];
    near(points[2 * node]!, points[2 * node + 1]!, averageMm, (k) => {
      if (sameWay(node, stations[k]!)) own.push(walls[k]!);
    });
    if (own.length === 0) own.push({ rim: 0.02, slope: limitMm / 0.02, bend: 0 });
    own.sort((a, b) => a.rim - b.rim);
    const cut = Math.floor(own.length / 4);
    const kept = own.slice(cut, own.length - cut);
    rimMm[node] = kept.reduce((sum, wall) => sum + wall.rim, 0) / kept.length;
    // The runs are averaged, not the slopes: one upright wall among shallow ones would outweigh them.
    slope[node] = kept.length / kept.reduce((sum, wall) => sum + 1 / wall.slope, 0);
    bend[node] = kept.reduce((sum, wall) => sum + wall.bend, 0) / kept.length;
  }
  return { rimMm, slope, bend };
}

/** The heights of some points of the contour together; the next call uses the same arrays. */
function pooling(heights: RimHeights, nodes: number): (members: readonly number[]) => PooledHeights {
  const { start, order } = heights.byNode(nodes);
  let [s, z, depth] = [new Float64Array(0), new Float64Array(0), new Float64Array(0)];
  return (members) => {
    const most = members.reduce((sum, node) => sum + start[node + 1]! - start[node]!, 0);
    if (most > s.length)
      [s, z, depth] = [0, 0, 0].map(() => new Float64Array(2 * most)) as [typeof s, typeof s, typeof s];
    let count = 0;
    for (const node of members) {
      for (let i = start[node]!; i < start[node + 1]!; i++) {
        const from = order[i]!;
        s[count] = heights.s[from]!;
        z[count] = heights.z[from]!;
        depth[count++] = heights.depth[from]!;
      }
    }
    return { count, s, z, depth };
  };
}

/** The first point of every cell of a grid. */
function thinOut(points: Float64Array, cellMm: number): number[] {
  const taken = new Set<number>();
  const kept: number[] = [];
  for (let i = 0; i < points.length / 2; i++) {
    const cell = cellKey(points[2 * i]!, points[2 * i + 1]!, cellMm);
    if (taken.has(cell)) continue;
    taken.add(cell);
    kept.push(i);
  }
  return kept;
}

function cellKey(x: number, y: number, cellMm: number): number {
  return Math.floor(x / cellMm) * 65536 + Math.floor(y / cellMm);
}

/** Visits the stations within a distance, at most `cellMm`, of a place. */
function cellIndex(points: Float64Array, stations: readonly number[], cellMm: number) {
  const cells = new Map<number, number[]>();
  stations.forEach((i, k) => {
    const key = cellKey(points[2 * i]!, points[2 * i + 1]!, cellMm);
    const list = cells.get(key);
    if (list === undefined) cells.set(key, [k]);
    else list.push(k);
  });
  return (x: number, y: number, reachMm: number, visit: (k: number) => void) => {
    for (let dx = -1; dx <= 1; dx++) {
      for (let dy = -1; dy <= 1; dy++) {
        for (const k of cells.get(cellKey(x + dx * cellMm, y + dy * cellMm, cellMm)) ?? []) {
          const i = stations[k]!;
          if ((points[2 * i]! - x) ** 2 + (points[2 * i + 1]! - y) ** 2 <= reachMm * reachMm) visit(k);
        }
      }
    }
  };
}
