import { axesAround, type Vec3 } from '../mesh/rigid.js';
import type { CandidatePlane } from './candidate-planes.js';
import type { SurfaceSample } from './surface-sample.js';

export interface FittedPlane extends CandidatePlane {
  /** Robust standard deviation of the sample's points on it from the plane, mm. */
  readonly sigma: number;
}

/** About the extent of a plate, mm. */
const plateMm = 300;

/**
 * Fits a candidate to the sample points on it, a few times, so that its tilt is far under the relief it must show.
 * @param tolerance how far from the plane the first round looks, mm
 */
export function refinePlane(plane: CandidatePlane, sample: SurfaceSample, tolerance: number): FittedPlane {
  let { normal, offset } = plane;
  let band = tolerance;
  let share = plane.share;
  let sigma = 0;
  const rests = new Float64Array(sample.count);
  for (let round = 0; round < 8; round++) {
    const { x, y } = axesAround(normal);
    const s = new Float64Array(9);
    const used = sumPoints(sample, normal, offset, band, x, y, s, rests);
    const n = s[0]!;
    if (n < 10) break;
    share = n / sample.count;
    const cuu = s[3]! - (s[1]! * s[1]!) / n;
    const cuv = s[4]! - (s[1]! * s[2]!) / n;
    const cvv = s[5]! - (s[2]! * s[2]!) / n;
    const cur = s[7]! - (s[1]! * s[6]!) / n;
    const cvr = s[8]! - (s[2]! * s[6]!) / n;
    const det = cuu * cvv - cuv * cuv;
    if (!(det > 1e-12 * cuu * cvv)) break;
    const a = (cur * cvv - cvr * cuv) / det;
    const b = (cvr * cuu - cur * cuv) / det;
    const height = (s[6]! - a * s[1]! - b * s[2]!) / n;
    // r = a u + b v + height on the plane: the plane normal · p - a x · p - b y · p = offset + height.
    const next: Vec3 = [
      normal[0] - a * x[0] - b * y[0],
      normal[1] - a * x[1] - b * y[1],
      normal[2] - a * x[2] - b * y[2],
    ];
    const size = Math.hypot(...next);
    normal = [next[0] / size, next[1] / size, next[2] / size];
    offset = (offset + height) / size;
    const sorted = rests.subarray(0, used).sort();
    sigma = 1.4826 * sorted[sorted.length >> 1]!;
    const narrower = Math.max(0.01, Math.min(band, 4 * sigma));
    // What moves no more over the extent of a plate, in an equal band, has come to its end.
    const moved = Math.abs(height) + plateMm * (Math.abs(a) + Math.abs(b));
    if (narrower === band && moved < 1e-6) break;
    band = narrower;
  }
  return { normal, offset, share, sigma };
}

/**
 * Adds up 1, u, v, uu, uv, vv, r, ur and vr over the points near a plane that face as it does, u and v along its axes.
 * @param rests gets the distances |r| of these points
 * @returns how many they are
 */
function sumPoints(
  { points, normals, count }: SurfaceSample,
  normal: Vec3,
  offset: number,
  band: number,
  x: Vec3,
  y: Vec3,
  s: Float64Array,
  rests: Float64Array,
): number {
  let used = 0;
  for (let i = 0; i < 3 * count; i += 3) {
    const px = points[i]!;
    const py = points[i + 1]!;
    const pz = points[i + 2]!;
    const r = normal[0] * px + normal[1] * py + normal[2] * pz - offset;
    if (Math.abs(r) > band) continue;
    if (normal[0] * normals[i]! + normal[1] * normals[i + 1]! + normal[2] * normals[i + 2]! < 0.5) continue;
    rests[used++] = Math.abs(r);
    const u = x[0] * px + x[1] * py + x[2] * pz;
    const v = y[0] * px + y[1] * py + y[2] * pz;
    s[0]! += 1;
    s[1]! += u;
    s[2]! += v;
    s[3]! += u * u;
    s[4]! += u * v;
    s[5]! += v * v;
    s[6]! += r;
    s[7]! += u * r;
    s[8]! += v * r;
  }
  return used;
}
