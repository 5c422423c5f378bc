/**
 * Where a noisy wall reaches the scrape surface. The depth contour of a hollow lies well above the noise, but inside the
 * rim: on a feather of 3 degrees by 3 mm. From each point of the contour the heights outward (and some way inward) are
 * collected by their distance from the contour, pooled over the neighbouring stretch of it, and a hinge is fitted: a
 * straight wall that ends in the land, z = -slope max(0, rim - s). The hinge's foot is the rim.
 *
 * Reading the rim off the smoothed heights instead (where they come within the noise of the land) ends a 3 degree feather
 * 0.5 to 1 mm too early at a noise of 0.05 mm; a straight line through the wall alone cannot tell a feather that lies all
 * above the contour.
 */
import type { Contour } from './contour.js';

const binMm = 0.25;
/** Feathers are followed this far outward from the contour, and the straight wall this far inward. */
export const outMm = 9;
const inMm = 4;
const inBins = inMm / binMm;
const bins = inBins + outMm / binMm;

/** Bins given up before a bend in the wall. */
const bendBins = 2;

/** Heights by distance from the contour, per contour point. */
export interface RimProfiles {
  readonly counts: Float32Array;
  readonly sums: Float64Array;
}

export function emptyProfiles(contour: Contour): RimProfiles {
  const nodes = contour.points.length / 2;
  return { counts: new Float32Array(nodes * bins), sums: new Float64Array(nodes * bins) };
}

/** @param s distance from the contour, positive outward, mm */
export function addHeight(profiles: RimProfiles, node: number, s: number, z: number): void {
  const bin = Math.floor(s / binMm) + inBins;
  if (bin < 0 || bin >= bins) return;
  profiles.counts[node * bins + bin]!++;
  profiles.sums[node * bins + bin]! += z;
}

/** Per contour point the straight wall towards the rim. */
export interface RimFit {
  /** Distance from the contour outward to the rim, mm. */
  readonly rimMm: Float64Array;
  /** Fall of the wall per mm inward from the rim. */
  readonly slope: Float64Array;
}

/** Half the stretch of contour whose heights are pooled for one fit, and the stretch over which fits are averaged, mm. */
const poolMm = 2.5;
const averageMm = 1.5;
/** Spacing of the fits along the contour, mm. */
const stationMm = 0.6;

export function fitRims(contour: Contour, profiles: RimProfiles, limitMm: number, noiseMm: number): RimFit {
  const { points, outward } = contour;
  const nodes = points.length / 2;
  const stations = thinOut(points, stationMm);
  const near = cellIndex(points, stations, poolMm);
  const sameWay = (i: number, j: number) =>
    outward[2 * i]! * outward[2 * j]! + outward[2 * i + 1]! * outward[2 * j + 1]! > 0.5;

  const counts = new Float64Array(stations.length * bins);
  const sums = new Float64Array(stations.length * bins);
  for (let node = 0; node < nodes; node++) {
    near(points[2 * node]!, points[2 * node + 1]!, poolMm, (k) => {
      if (!sameWay(node, stations[k]!)) return;
      for (let bin = 0; bin < bins; bin++) {
        counts[k * bins + bin]! += profiles.counts[node * bins + bin]!;
        sums[k * bins + bin]! += profiles.sums[node * bins + bin]!;
      }
    });
  }
  const hinges = stations.map((_, k) => {
    const own = counts.subarray(k * bins, (k + 1) * bins);
    const means = sums.subarray(k * bins, (k + 1) * bins).map((sum, bin) => (own[bin]! > 0 ? sum / own[bin]! : 0));
    return fitHinge(own, means, limitMm, noiseMm);
  });
  // The middle half of the neighbouring fits, averaged: one bad fit does not show.
  const rimMm = new Float64Array(nodes);
  const slope = new Float64Array(nodes);
  for (let node = 0; node < nodes; node++) {
    const own: Hinge[] = [];
    near(points[2 * node]!, points[2 * node + 1]!, averageMm, (k) => {
      if (sameWay(node, stations[k]!)) own.push(hinges[k]!);
    });
    if (own.length === 0) own.push(bestHinge(new Float64Array(bins), new Float64Array(bins), inBins, limitMm));
    own.sort((a, b) => a.rim - b.rim);
    const cut = Math.floor(own.length / 4);
    const kept = own.slice(cut, own.length - cut);
    rimMm[node] = kept.reduce((sum, hinge) => sum + hinge.rim, 0) / kept.length;
    slope[node] = kept.reduce((sum, hinge) => sum + hinge.slope, 0) / kept.length;
  }
  return { rimMm, slope };
}

interface Hinge {
  readonly rim: number;
  readonly slope: number;
}

/** The hinge's foot: first over the outer heights alone, then with as much of the inner wall as lies on the same line. */
function fitHinge(counts: Float64Array, means: Float64Array, limitMm: number, noiseMm: number): Hinge {
  let first = inBins;
  let hinge = bestHinge(counts, means, first, limitMm);
  if (hinge.rim < 0.5) return steepWall(counts, means, hinge);
  for (let pass = 0; pass < 3; pass++) {
    let reach = inBins;
    while (reach > 0) {
      const bin = reach - 1;
      if (counts[bin]! > 0) {
        const line = -hinge.slope * (hinge.rim - middle(bin));
        const doubt = (3 * noiseMm) / Math.sqrt(counts[bin]!);
        if (Math.abs(means[bin]! - line) > Math.max(doubt, 0.04 * Math.abs(line))) {
          // The last bins before a bend hold some of it already, and would tilt the line.
          reach = Math.min(inBins, reach + bendBins);
          break;
        }
      }
      reach--;
    }
    if (reach === first) break;
    first = reach;
    hinge = bestHinge(counts, means, first, limitMm);
  }
  return hinge;
}

/**
 * On a steep wall the smoothed contour stands a little outside the wall. The wall's own line, through the heights just
 * inside, meets the scrape surface at the rim; the foot may then lie inside the contour (negative).
 */
function steepWall(counts: Float64Array, means: Float64Array, outer: Hinge): Hinge {
  let [n, s1, z1, ss, sz] = [0, 0, 0, 0, 0];
  for (let bin = inBins - Math.round(1 / binMm); bin < inBins; bin++) {
    const [s, z, w] = [middle(bin), means[bin]!, counts[bin]!];
    if (w === 0 || z > -0.05) continue;
    n += w;
    s1 += w * s;
    z1 += w * z;
    ss += w * s * s;
    sz += w * s * z;
  }
  const spread = ss - (s1 * s1) / n;
  if (!(n > 0 && spread > 0)) return outer;
  const slope = (sz - (s1 * z1) / n) / spread;
  const rim = s1 / n - z1 / n / slope;
  if (!(slope > outer.slope && rim < outer.rim && rim > -0.75)) return outer;
  return { rim, slope };
}

function middle(bin: number): number {
  return (bin - inBins + 0.5) * binMm;
}

/**
 * Least squares over the foot's place on a fine grid; for each place the best slope is known in closed form. The line
 * must pass the contour at about the contour's depth, or the land's own noise is taken for a wall of hardly any slope.
 */
function bestHinge(counts: Float64Array, means: Float64Array, first: number, limitMm: number) {
  let last = bins;
  while (last > inBins && counts[last - 1] === 0) last--;
  let best = { rim: 0.02, slope: limitMm / 0.02, gain: 0 };
  const reach = middle(last - 1);
  for (let rim = 0.02; rim < reach; rim += 0.05) {
    let [ww, wz] = [0, 0];
    for (let bin = first; bin < last; bin++) {
      const lever = rim - middle(bin);
      if (lever <= 0) break;
      ww += counts[bin]! * lever * lever;
      wz -= counts[bin]! * lever * means[bin]!;
    }
    if (ww === 0) continue;
    const steady = limitMm / rim;
    const slope = Math.min(1.3 * steady, Math.max(0.7 * steady, wz / ww));
    // What the fit takes off the sum of squares, against no wall at all.
    const gain = slope * (2 * wz - slope * ww);
    if (gain > best.gain) best = { rim, slope, gain };
  }
  return best;
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
