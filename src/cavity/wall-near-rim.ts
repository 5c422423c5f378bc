/**
 * The wall next to the rim, fitted square to itself: v = a + b u + c u², u along the wall from the rim inward, v off it. The
 * rim is where the parabola meets z = 0. Square to the wall one fit serves feathers and upright walls, and a wall that bends
 * (a cap's, say) is not carried on straight. Heights next to the rim are left out, or its corner would count as wall. What
 * was tried beside it: docs/decisions/rim-under-noise.md.
 */
import { parabola } from './parabola.js';
import type { PooledHeights } from './rim-heights.js';
import type { Hinge } from './rim-hinge.js';

/** The wall next to the rim: z = -slope u + bend u²/2 at u mm inward. */
export interface WallNearRim extends Hinge {
  readonly bend: number;
}

/** How far along the wall is fitted, mm: farther on walls of less slope, whose foot is less sure; less before a bend. */
const widthMm = 2;
const widestMm = 6;
const leastWidthMm = 0.6;
const sureSlope = 0.3;

/** Where the place of the foot would be less sure than this, the straight hinge is surer, mm. */
const mostDoubtMm = 0.03;

/** A wall keeps to its parabola where the means of its heights, bin by bin, lie within so many standard deviations. */
const keepsWithin = 3;
const binMm = 0.25;
/** What facets of a curved wall stand off it, mm. */
const facetMm = 0.003;

const mostRounds = 6;
const fewestHeights = 12;

/** Steeper walls fall by so much that they pass for upright. */
export const uprightSlope = 50;
/** The bend of steeper walls is not used: as heights over a distance they have none. */
export const bentSlope = 3;

/** A fit under way: the wall's foot, its angle to the land and the parabola's last term. */
interface Fit {
  readonly rim: number;
  readonly angle: number;
  readonly c: number;
}

/**
 * @param first a first guess
 * @param noiseMm standard deviation of the noise
 * @param doubtMm the noise that as many independent heights would have to have for their mean to be as doubtful
 * @returns null where the heights do not fix the wall, or not better than a straight hinge does
 */
export function wallNearRim(
  heights: PooledHeights,
  first: Hinge,
  noiseMm: number,
  doubtMm: number,
): WallNearRim | null {
  const gap = Math.max(0.03, 3 * noiseMm);
  const widest = Math.min(widestMm, widthMm * Math.max(1, sureSlope / first.slope));
  for (let width = widest; width >= leastWidthMm; width *= 0.7) {
    const fit = fitWall(heights, first, noiseMm, gap, width);
    if (fit === null) continue;
    const count = keptHeights(heights, fit, doubtMm, gap, width);
    if (count === 0) continue;
    const { rim, angle, c } = fit;
    // A parabola's end is three times as doubtful as the mean of its heights.
    if ((3 * doubtMm) / Math.sqrt(count) / Math.sin(angle) > mostDoubtMm) return null;
    const slope = angle < Math.PI / 2 ? Math.min(uprightSlope, Math.tan(angle)) : uprightSlope;
    return { rim, slope, bend: slope < bentSlope ? (2 * c) / Math.cos(angle) ** 3 : 0 };
  }
  return null;
}

/** Newton's rounds: each fits the parabola along the wall as it was found last. */
function fitWall({ count, s, z, depth }: PooledHeights, first: Hinge, noiseMm: number, gap: number, width: number) {
  const most = Math.max(6 * noiseMm, 0.15);
  let rim = first.rim;
  let angle = Math.atan(first.slope);
  let c = 0;
  const moments = new Float64Array(8);
  for (let round = 0; round < mostRounds; round++) {
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    const far = round === 0 ? most + 0.2 : most;
    moments.fill(0);
    for (let i = 0; i < count; i++) {
      const inward = rim - s[i]!;
      // By the denoised height: the raw one would choose its own noise.
      const chosen = inward * cos + depth[i]! * sin;
      if (chosen < gap || chosen > width) continue;
      const u = inward * cos - z[i]! * sin;
      const v = inward * sin + z[i]! * cos;
      if (Math.abs(v - c * u * u) > far) continue;
      const uu = u * u;
      moments[0]!++;
      moments[1]! += u;
      moments[2]! += uu;
      moments[3]! += uu * u;
      moments[4]! += uu * uu;
      moments[5]! += v;
      moments[6]! += u * v;
      moments[7]! += uu * v;
    }
    const solved = moments[0]! < fewestHeights ? null : parabola(moments, width / 8);
    if (solved === null) return null;
    const [a, b] = solved;
    c = solved[2];
    let u = 0;
    for (let k = 0; k < 3; k++) u -= (u * sin - (a + b * u + c * u * u) * cos) / (sin - (b + 2 * c * u) * cos);
    const moved = u * cos + (a + b * u + c * u * u) * sin;
    const turned = Math.atan(b + 2 * c * u);
    rim -= moved;
    angle -= turned;
    if (!(angle > 0.02 && angle < 2.4 && Math.abs(rim - first.rim) < 1 + 2 * width)) return null;
    if (Math.abs(moved) < 1e-4 && Math.abs(turned) < 1e-3) break;
  }
  return { rim, angle, c };
}

/** Number of heights along the wall, or 0 where it does not keep to the fit. */
function keptHeights(
  { count, s, z, depth }: PooledHeights,
  { rim, angle, c }: Fit,
  doubtMm: number,
  gap: number,
  width: number,
): number {
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const bins = Math.ceil(width / binMm);
  const sums = new Float64Array(bins);
  const counts = new Float64Array(bins);
  for (let i = 0; i < count; i++) {
    const inward = rim - s[i]!;
    const chosen = inward * cos + depth[i]! * sin;
    if (chosen < gap || chosen >= width) continue;
    const u = inward * cos - z[i]! * sin;
    const rest = inward * sin + z[i]! * cos - c * u * u;
    // Another wall, across a narrow hollow.
    if (Math.abs(rest) > 1) continue;
    const bin = Math.floor(chosen / binMm);
    sums[bin]! += rest;
    counts[bin]!++;
  }
  let total = 0;
  for (let bin = 0; bin < bins; bin++) {
    const n = counts[bin]!;
    total += n;
    if (n >= 3 && Math.abs(sums[bin]! / n) > (keepsWithin * doubtMm) / Math.sqrt(n) + facetMm) return 0;
  }
  return total;
}
