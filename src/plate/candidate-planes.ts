import { seededRandom } from '../base/random.js';
import type { Vec3 } from '../mesh/rigid.js';
import type { SurfaceSample } from './surface-sample.js';

/** A plane that holds a good share of the surface: points p with normal · p = offset; normal: where the surface faces. */
export interface CandidatePlane {
  readonly normal: Vec3;
  readonly offset: number;
  /** Share of the whole surface that lies on it, 0 to 1. */
  readonly share: number;
}

const draws = 200;

/**
 * The largest planes of a surface, by random sample consensus (Fischler, Bolles 1981), one after the other. The three
 * points of a draw face about the same way, which raises the odds on a surface of many parts.
 * @param tolerance how far from the plane a point may lie, in the sample's units
 * @param leastShare planes with less of the whole surface end the search
 */
export function candidatePlanes(
  sample: SurfaceSample,
  tolerance: number,
  most = 8,
  leastShare = 0.01,
): CandidatePlane[] {
  const { count } = sample;
  const random = seededRandom(7411);
  const trio = new Uint32Array(3);
  // Normal and offset of a plane that was drawn.
  const drawn = new Float64Array(4);

  let left = Uint32Array.from({ length: count }, (_, i) => i);
  const found: CandidatePlane[] = [];
  while (found.length < most && left.length > Math.max(10, count / 100)) {
    let best: { normal: Vec3; offset: number; votes: number } | undefined;
    for (let draw = 0; draw < draws; draw++) {
      if (!drawTrio(left, sample.normals, random, trio)) continue;
      if (!planeThrough(sample, trio, tolerance * tolerance, drawn)) continue;
      const votes = sortOut(sample, left, drawn, tolerance, best?.votes ?? 0, null);
      if (best === undefined || votes > best.votes) {
        best = { normal: [drawn[0]!, drawn[1]!, drawn[2]!], offset: drawn[3]!, votes };
      }
    }
    if (best === undefined || best.votes < Math.max(3, count * leastShare)) break;
    const { normal: up, offset, votes } = best;
    found.push({ normal: up, offset, share: votes / count });
    const rest = new Uint32Array(left.length);
    drawn.set([...up, offset]);
    const on = sortOut(sample, left, drawn, tolerance, 0, rest);
    left = rest.subarray(0, left.length - on);
  }
  return found;
}

/**
 * Counts the points on a plane; gives up once they cannot be more than `atLeast`.
 * @param rest takes the points that are not on it
 */
function sortOut(
  { points, normals }: SurfaceSample,
  left: Uint32Array,
  plane: Float64Array,
  tolerance: number,
  atLeast: number,
  rest: Uint32Array | null,
): number {
  const x = plane[0]!;
  const y = plane[1]!;
  const z = plane[2]!;
  const offset = plane[3]!;
  const mostOff = left.length - atLeast;
  let off = 0;
  for (let k = 0; k < left.length; k++) {
    const i = 3 * left[k]!;
    const height = x * points[i]! + y * points[i + 1]! + z * points[i + 2]! - offset;
    if (
      height <= tolerance &&
      height >= -tolerance &&
      x * normals[i]! + y * normals[i + 1]! + z * normals[i + 2]! > 0.7
    )
      continue;
    if (rest !== null) rest[off] = left[k]!;
    else if (off >= mostOff) return atLeast;
    off++;
  }
  return left.length - off;
}

/**
 * Draws three different points that face about the same way as the first.
 * @returns whether there are three: their numbers go into `trio`
 */
function drawTrio(left: Uint32Array, normals: Float64Array, random: () => number, trio: Uint32Array): boolean {
  const first = left[Math.floor(random() * left.length)]!;
  const x = normals[3 * first]!;
  const y = normals[3 * first + 1]!;
  const z = normals[3 * first + 2]!;
  trio[0] = first;
  let drawn = 1;
  for (let tries = 0; tries < 60 && drawn < 3; tries++) {
    const other = left[Math.floor(random() * left.length)]!;
    if (other === first || (drawn === 2 && other === trio[1])) continue;
    if (x * normals[3 * other]! + y * normals[3 * other + 1]! + z * normals[3 * other + 2]! > 0.8)
      trio[drawn++] = other;
  }
  return drawn === 3;
}

/**
 * The plane through three points, turned to face as the first does.
 * @param leastArea twice the area of their triangle, under which they give no plane
 * @param plane gets its unit normal and its offset
 */
function planeThrough(
  { points, normals }: SurfaceSample,
  trio: Uint32Array,
  leastArea: number,
  plane: Float64Array,
): boolean {
  const a = 3 * trio[0]!;
  const b = 3 * trio[1]!;
  const c = 3 * trio[2]!;
  const ux = points[b]! - points[a]!;
  const uy = points[b + 1]! - points[a + 1]!;
  const uz = points[b + 2]! - points[a + 2]!;
  const vx = points[c]! - points[a]!;
  const vy = points[c + 1]! - points[a + 1]!;
  const vz = points[c + 2]! - points[a + 2]!;
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  const size = Math.sqrt(x * x + y * y + z * z);
  if (size < leastArea) return false;
  const facing = x * normals[a]! + y * normals[a + 1]! + z * normals[a + 2]!;
  const by = facing < 0 ? -1 / size : 1 / size;
  plane[0] = by * x;
  plane[1] = by * y;
  plane[2] = by * z;
  plane[3] = plane[0]! * points[a]! + plane[1]! * points[a + 1]! + plane[2]! * points[a + 2]!;
  return true;
}
