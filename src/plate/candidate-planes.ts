import { seededRandom } from '../base/random.js';
import { cross, dot, normalized, type Vec3 } from '../mesh/rigid.js';
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
  const { points, normals, count } = sample;
  const random = seededRandom(7411);
  const point = (i: number): Vec3 => [points[3 * i]!, points[3 * i + 1]!, points[3 * i + 2]!];
  const normal = (i: number): Vec3 => [normals[3 * i]!, normals[3 * i + 1]!, normals[3 * i + 2]!];

  let left = Uint32Array.from({ length: count }, (_, i) => i);
  const found: CandidatePlane[] = [];
  while (found.length < most && left.length > Math.max(10, count / 100)) {
    let best: { normal: Vec3; offset: number; votes: number } | undefined;
    for (let draw = 0; draw < draws; draw++) {
      const trio = drawTrio(left, normal, random);
      if (trio === undefined) continue;
      const [a, b, c] = trio.map(point) as [Vec3, Vec3, Vec3];
      const across = cross(minus(b, a), minus(c, a));
      if (Math.hypot(...across) < tolerance * tolerance) continue;
      let up = normalized(across);
      if (dot(up, normal(trio[0])) < 0) up = [-up[0], -up[1], -up[2]];
      const offset = dot(up, a);
      const votes = sortOut(sample, left, up, offset, tolerance, best?.votes ?? 0, null);
      if (best === undefined || votes > best.votes) best = { normal: up, offset, votes };
    }
    if (best === undefined || best.votes < Math.max(3, count * leastShare)) break;
    const { normal: up, offset, votes } = best;
    found.push({ normal: up, offset, share: votes / count });
    const rest = new Uint32Array(left.length);
    const on = sortOut(sample, left, up, offset, tolerance, 0, rest);
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
  up: Vec3,
  offset: number,
  tolerance: number,
  atLeast: number,
  rest: Uint32Array | null,
): number {
  const [x, y, z] = up;
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

function minus(a: Vec3, b: Vec3): Vec3 {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

/** Three different points that face about the same way as the first. */
function drawTrio(
  left: Uint32Array,
  normal: (i: number) => Vec3,
  random: () => number,
): [number, number, number] | undefined {
  const pick = () => left[Math.floor(random() * left.length)]!;
  const first = pick();
  const facing = normal(first);
  const trio = [first];
  for (let tries = 0; tries < 60 && trio.length < 3; tries++) {
    const other = pick();
    if (!trio.includes(other) && dot(facing, normal(other)) > 0.8) trio.push(other);
  }
  return trio.length === 3 ? (trio as [number, number, number]) : undefined;
}
