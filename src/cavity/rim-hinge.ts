import type { PooledHeights } from './rim-heights.js';

/** A straight wall that ends in the land: z = -slope max(0, rim - s). */
export interface Hinge {
  /** Distance of its foot from the contour, positive outward, mm. */
  readonly rim: number;
  /** Fall per mm inward. */
  readonly slope: number;
}

/** Heights by distance from the contour: how many, their mean distance and mean height, per bin. */
export interface Profile {
  readonly counts: Float64Array;
  readonly s: Float64Array;
  readonly z: Float64Array;
}

export const binMm = 0.25;
const outBins = 9 / binMm;
export const inBins = 4 / binMm;
const bins = inBins + outBins;

/** Bins given up before a bend in the wall. */
const bendBins = 2;

export function heightProfile({ count, s, z, depth }: PooledHeights, limitMm: number): Profile {
  const counts = new Float64Array(bins);
  const away = new Float64Array(bins);
  const sums = new Float64Array(bins);
  for (let i = 0; i < count; i++) {
    // What lies deep outside the contour is a wall that stands upright or hangs over, not the way to the rim.
    if (s[i]! >= 0 && depth[i]! >= limitMm) continue;
    const bin = Math.floor(s[i]! / binMm) + inBins;
    if (bin < 0 || bin >= bins) continue;
    counts[bin]!++;
    away[bin]! += s[i]!;
    sums[bin]! += z[i]!;
  }
  for (let bin = 0; bin < bins; bin++) {
    if (counts[bin] === 0) continue;
    away[bin]! /= counts[bin]!;
    sums[bin]! /= counts[bin]!;
  }
  return { counts, s: away, z: sums };
}

/** The hinge's foot: first over the outer heights alone, then with as much of the inner wall as lies on the same line. */
export function fitHinge(profile: Profile, outer: Hinge, limitMm: number, doubtMm: number): Hinge {
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

/**
 * Least squares over the foot's place on a fine grid; for each place the best slope is known in closed form. The line
 * must pass the contour at about the contour's depth, or the land's own noise is taken for a wall of hardly any slope.
 * @returns what the fit takes off the sum of squares as `gain`; 0 where the heights show no wall outside the contour
 */
export function bestHinge({ counts, s, z }: Profile, first: number, limitMm: number): Hinge & { gain: number } {
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

/** Heights farther outside of both rims than this say nothing of them, mm. */
const besideMm = 0.75;

/**
 * Which of two hinges the heights above the depth limit lie nearer to: to its wall or its land, whichever is nearer. Deeper
 * ones are left out, since a feather may end in a steep wall there.
 */
export function nearerHinge({ count, s, z, depth }: PooledHeights, limitMm: number, a: Hinge, b: Hinge): Hinge {
  const outmost = Math.max(a.rim, b.rim) + besideMm;
  let balance = 0;
  for (let i = 0; i < count; i++) {
    if (depth[i]! >= limitMm || s[i]! < -besideMm || s[i]! > outmost) continue;
    balance += squareOff(a, s[i]!, z[i]!) - squareOff(b, s[i]!, z[i]!);
  }
  return balance < 0 ? a : b;
}

function squareOff({ rim, slope }: Hinge, s: number, z: number): number {
  const length = Math.hypot(1, slope);
  const out = s - rim;
  const along = Math.max(0, -(out + z * slope) / length);
  const wall = (out + along / length) ** 2 + (z + (along * slope) / length) ** 2;
  const land = z * z + Math.min(0, out) ** 2;
  return Math.min(wall, land);
}
