import type { PooledHeights } from './rim-heights.js';
import { binMm, type Hinge, inBins, type Profile } from './rim-hinge.js';

/** Walls that fall by less than this per mm have their foot so far from the contour that the heights between show it. */
const leastSlope = 0.3;
/** Heights farther than this from the contour are not of its steep wall, mm. */
const steepReachMm = 2;

/** The heights of a steep wall are sorted by their depth. */
const layerMm = 0.125;
const layers = 16;
/** A rim is rounded at least this far down, mm. */
const leastStartMm = 0.03;

/**
 * On a steep wall hardly a height lies between the contour and the rim, and the contour stands a little aside of the
 * wall. The wall's own line through the heights just under the limit meets the scrape surface at the rim. Distances are
 * fitted as a function of height, so that walls may stand upright; where noise matters and the wall does not stand
 * upright, heights as a function of distance, which noise does not tilt.
 * @returns null where the wall is not steep
 */
export function steepWall(heights: PooledHeights, profile: Profile, limitMm: number, noiseMm: number): Hinge | null {
  const upright = uprightWall(heights, noiseMm);
  if (upright === null) return null;
  const width = Math.min(1, Math.max(0.5, upright.run / 2));
  const line = noiseMm > 0.005 && upright.run > 0.45 ? (lineInside(profile, width) ?? upright) : upright;
  if (line.run > 1 / leastSlope || Math.abs(line.rim) > (2 * limitMm) / leastSlope) return null;
  return { rim: line.rim, slope: 1 / Math.max(line.run, 0.02) };
}

/** A wall's line: distance of its foot from the contour, and how far it runs outward per mm upward. */
interface WallLine {
  readonly rim: number;
  readonly run: number;
}

function uprightWall({ count, s, z, depth }: PooledHeights, noiseMm: number): WallLine | null {
  const startMm = Math.max(leastStartMm, 3 * noiseMm);
  const terms = 5;
  const sums = new Float64Array(layers * terms);
  for (let i = 0; i < count; i++) {
    const layer = Math.floor((depth[i]! - startMm) / layerMm);
    if (layer < 0 || layer >= layers || Math.abs(s[i]!) > steepReachMm) continue;
    const at = layer * terms;
    sums[at]!++;
    sums[at + 1]! += s[i]!;
    sums[at + 2]! += z[i]!;
    sums[at + 3]! += s[i]! * z[i]!;
    sums[at + 4]! += z[i]! * z[i]!;
  }
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
