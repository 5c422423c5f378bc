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
import type { NoiseGrain } from '../plate/noise-grain.js';
import type { Contour } from './contour.js';

const binMm = 0.25;
/** Feathers are followed this far outward from the contour, and the straight wall this far inward. */
export const outMm = 9;
const inMm = 4;
const inBins = inMm / binMm;
const bins = inBins + outMm / binMm;

/** Bins given up before a bend in the wall. */
const bendBins = 2;

/** The heights of a steep wall are sorted by their depth. */
const layerMm = 0.125;
const layers = 16;
/** A rim is rounded at least this far down, mm. */
const leastStartMm = 0.03;
/** Sums per layer: number, s, z, s z, z z. */
const terms = 5;

/** Heights by distance from the contour, per contour point. */
export interface RimProfiles {
  readonly limitMm: number;
  /** Depth at which the layers begin. */
  readonly startMm: number;
  /** Sums by depth. */
  readonly byDepth: Float64Array;
  readonly counts: Float32Array;
  /** Sums of the distances and of the heights. */
  readonly away: Float64Array;
  readonly sums: Float64Array;
}

export function emptyProfiles(contour: Contour, limitMm: number, noiseMm: number): RimProfiles {
  const nodes = contour.points.length / 2;
  return {
    limitMm,
    startMm: Math.max(leastStartMm, 3 * noiseMm),
    counts: new Float32Array(nodes * bins),
    byDepth: new Float64Array(nodes * layers * terms),
    away: new Float64Array(nodes * bins),
    sums: new Float64Array(nodes * bins),
  };
}

/**
 * @param s distance from the contour, positive outward, mm
 * @param depth depth by the denoised height, since the raw one would choose its own noise, mm
 */
export function addHeight(profiles: RimProfiles, node: number, s: number, z: number, depth: number): void {
  const bin = Math.floor(s / binMm) + inBins;
  if (bin < 0 || bin >= bins) return;
  const { limitMm, startMm } = profiles;
  // What lies deep outside the contour is a wall that stands upright or hangs over, not the way to the rim.
  if (s < 0 || depth < limitMm) {
    profiles.counts[node * bins + bin]!++;
    profiles.away[node * bins + bin]! += s;
    profiles.sums[node * bins + bin]! += z;
  }
  const layer = Math.floor((depth - startMm) / layerMm);
  if (layer < 0 || layer >= layers || Math.abs(s) > steepReachMm) return;
  const at = (node * layers + layer) * terms;
  const sums = profiles.byDepth;
  sums[at]!++;
  sums[at + 1]! += s;
  sums[at + 2]! += z;
  sums[at + 3]! += s * z;
  sums[at + 4]! += z * z;
}

/** Per contour point the straight wall towards the rim. */
export interface RimFit {
  /** Distance from the contour outward to the rim, mm. */
  readonly rimMm: Float64Array;
  /** Fall of the wall per mm inward from the rim. */
  readonly slope: Float64Array;
}

/** Half the stretch of contour whose heights are pooled for one fit, mm; over 0.6 of it the fits are averaged. */
const leastPoolMm = 2.5;
/** Spacing of the fits along the contour, mm. */
const stationMm = 0.6;

export function fitRims(
  contour: Contour,
  profiles: RimProfiles,
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

  const counts = new Float64Array(stations.length * bins);
  const away = new Float64Array(stations.length * bins);
  const sums = new Float64Array(stations.length * bins);
  const byDepth = new Float64Array(stations.length * layers * terms);
  for (let node = 0; node < nodes; node++) {
    near(points[2 * node]!, points[2 * node + 1]!, poolMm, (k) => {
      if (!sameWay(node, stations[k]!)) return;
      for (let bin = 0; bin < bins; bin++) {
        counts[k * bins + bin]! += profiles.counts[node * bins + bin]!;
        away[k * bins + bin]! += profiles.away[node * bins + bin]!;
        sums[k * bins + bin]! += profiles.sums[node * bins + bin]!;
      }
      const [from, to] = [node * layers * terms, k * layers * terms];
      for (let i = 0; i < layers * terms; i++) byDepth[to + i]! += profiles.byDepth[from + i]!;
    });
  }
  const hinges = stations.map((_, k) => {
    const own = counts.subarray(k * bins, (k + 1) * bins);
    const mean = (of: Float64Array) =>
      of.subarray(k * bins, (k + 1) * bins).map((sum, bin) => (own[bin]! > 0 ? sum / own[bin]! : 0));
    const layered = byDepth.subarray(k * layers * terms, (k + 1) * layers * terms);
    const profile = { counts: own, s: mean(away), z: mean(sums) };
    const outer = bestHinge(profile, inBins, limitMm);
    const steep = outer.rim < limitMm / steepSlope ? steepWall(profile, layered, limitMm, noiseMm) : null;
    return steep ?? fitHinge(profile, outer, limitMm, doubtMm);
  });
  // The middle half of the neighbouring fits, averaged: one bad fit does not show.
  const rimMm = new Float64Array(nodes);
  const slope = new Float64Array(nodes);
  for (let node = 0; node < nodes; node++) {
    const own: Hinge[] = [];
    near(points[2 * node]!, points[2 * node + 1]!, averageMm, (k) => {
      if (sameWay(node, stations[k]!)) own.push(hinges[k]!);
    });
    if (own.length === 0) own.push({ rim: 0.02, slope: limitMm / 0.02 });
    own.sort((a, b) => a.rim - b.rim);
    const cut = Math.floor(own.length / 4);
    const kept = own.slice(cut, own.length - cut);
    rimMm[node] = kept.reduce((sum, hinge) => sum + hinge.rim, 0) / kept.length;
    // The runs are averaged, not the slopes: one upright wall among shallow ones would outweigh them.
    slope[node] = kept.length / kept.reduce((sum, hinge) => sum + 1 / hinge.slope, 0);
  }
  return { rimMm, slope };
}

interface Hinge {
  readonly rim: number;
  readonly slope: number;
}

/** Heights by distance from the contour: how many, their mean distance and mean height, per bin. */
interface Profile {
  readonly counts: Float64Array;
  readonly s: Float64Array;
  readonly z: Float64Array;
}

/** The hinge's foot: first over the outer heights alone, then with as much of the inner wall as lies on the same line. */
function fitHinge(profile: Profile, outer: Hinge, limitMm: number, doubtMm: number): Hinge {
  const { counts, s, z } = profile;
  let first = inBins;
  let hinge = outer;
  for (let pass = 0; pass < 3; pass++) {
    let reach = inBins;
    while (reach > 0) {
      const bin = reach - 1;
      if (counts[bin]! > 0) {
        const line = -hinge.slope * (hinge.rim - s[bin]!);
        const doubt = (3 * doubtMm) / Math.sqrt(counts[bin]!);
        if (Math.abs(z[bin]! - line) > Math.max(doubt, 0.02 * Math.abs(line))) {
          // The last bins before a bend hold some of it already, and would tilt the line.
          reach = Math.min(inBins, reach + bendBins);
          break;
        }
      }
      reach--;
    }
    if (reach === first) break;
    first = reach;
    hinge = bestHinge(profile, first, limitMm);
  }
  return hinge;
}

/** A wall is steep where it falls by more than this per mm under the depth limit. */
export const steepSlope = 0.6;
/** Heights farther than this from the contour are not of its steep wall, mm. */
const steepReachMm = 2;

/**
 * On a steep wall hardly a height lies between the contour and the rim, and the contour stands a little aside of the
 * wall. The wall's own line through the heights just under the limit meets the scrape surface at the rim. Distances are
 * fitted as a function of height, so that walls may stand upright; where noise matters and the wall does not stand
 * upright, heights as a function of distance, which noise does not tilt.
 * @returns null where the wall is not steep
 */
function steepWall(profile: Profile, layered: Float64Array, limitMm: number, noiseMm: number): Hinge | null {
  const upright = uprightWall(layered, noiseMm);
  if (upright === null) return null;
  const width = Math.min(1, Math.max(0.5, upright.run / 2));
  const line = noiseMm > 0.005 && upright.run > 0.45 ? (lineInside(profile, width) ?? upright) : upright;
  if (line.run > 1 / steepSlope || Math.abs(line.rim) > (2 * limitMm) / steepSlope) return null;
  return { rim: line.rim, slope: 1 / Math.max(line.run, 0.02) };
}

/** A wall's line: distance of its foot from the contour, and how far it runs outward per mm upward. */
interface WallLine {
  readonly rim: number;
  readonly run: number;
}

function uprightWall(sums: Float64Array, noiseMm: number): WallLine | null {
  let [n, s1, z1, sz, zz] = [0, 0, 0, 0, 0];
  const least = Math.round(Math.max(0.25, 5 * noiseMm) / layerMm) - 1;
  for (let layer = 0; layer < layers; layer++) {
    const at = layer * terms;
    n += sums[at]!;
    s1 += sums[at + 1]!;
    z1 += sums[at + 2]!;
    sz += sums[at + 3]!;
    zz += sums[at + 4]!;
    if (layer < least || n < 12) continue;
    // the noise's own share of the heights' spread would make the wall look steeper (errors in variables)
    const spread = zz - (z1 * z1) / n - n * noiseMm * noiseMm;
    if (spread < n * 0.08 * 0.08) continue;
    const run = (sz - (s1 * z1) / n) / spread;
    return { rim: s1 / n - (run * z1) / n, run };
  }
  return null;
}

function lineInside({ counts, s, z }: Profile, widthMm: number): WallLine | null {
  let [n, s1, z1, ss, sz] = [0, 0, 0, 0, 0];
  for (let bin = inBins - Math.round(widthMm / binMm); bin < inBins; bin++) {
    const w = counts[bin]!;
    n += w;
    s1 += w * s[bin]!;
    z1 += w * z[bin]!;
    ss += w * s[bin]! * s[bin]!;
    sz += w * s[bin]! * z[bin]!;
  }
  const slope = (sz - (s1 * z1) / n) / (ss - (s1 * s1) / n);
  return slope > 0.1 ? { rim: s1 / n - z1 / n / slope, run: 1 / slope } : null;
}

/**
 * Least squares over the foot's place on a fine grid; for each place the best slope is known in closed form. The line
 * must pass the contour at about the contour's depth, or the land's own noise is taken for a wall of hardly any slope.
 */
function bestHinge({ counts, s, z }: Profile, first: number, limitMm: number) {
  let last = bins;
  while (last > inBins && counts[last - 1] === 0) last--;
  let best = { rim: 0.02, slope: limitMm / 0.02, gain: 0 };
  const reach = (last - inBins) * binMm;
  for (let rim = 0.02; rim < reach; rim += 0.05) {
    let [ww, wz] = [0, 0];
    for (let bin = first; bin < last; bin++) {
      if (counts[bin] === 0) continue;
      const lever = rim - s[bin]!;
      if (lever <= 0) break;
      ww += counts[bin]! * lever * lever;
      wz -= counts[bin]! * lever * z[bin]!;
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
