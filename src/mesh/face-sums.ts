import { inBatches } from '../base/batches.js';
import { triangleArea } from './triangle-area.js';
import type { TriangleMesh } from './triangle-mesh.js';

/** What the triangles of a mesh tell one by one and in sum, from a single pass over them. */
export interface FaceSums {
  /** Vertices at which some triangle is sharp and none is blunt: few of any mesh. */
  readonly tips: readonly number[];
  /** How many triangles are over a thousand times as long as they are wide. */
  readonly slivers: number;
  readonly area: number;
  /** The area of all triangles before each block of `blockTriangles`, and behind the last one. */
  readonly areaBefore: Float64Array;
  /** Those that are over `largeTimes` the mean triangle: few of an even mesh, and what a share of all triangles would miss. */
  readonly large: LargeFaces;
  /** Length of the sum of the triangles' vector areas: nothing on a closed surface, the opening's area on an open one. */
  readonly openArea: number;
  /** Six times the volume that a closed mesh holds, seen from its first point; less than nothing: it is inside out. */
  readonly sixVolumes: number;
}

export interface LargeFaces {
  readonly triangles: Uint32Array;
  /** Their areas, one by one. */
  readonly areas: Float32Array;
  /** All are larger than this. */
  readonly limit: number;
}

/** A block is so many bits of a triangle's number. */
const blockBits = 6;
export const blockTriangles = 2 ** blockBits;
const largeTimes = 1.5;

/** A triangle is sharp at a vertex where both its spokes are longer than the side across by this. */
const sharp = 1.1;
/** One whose spokes are all of this many times the side across says nothing of the place where it begins. */
const long = 3;
const sliver = 1e-3;

const isSharp = 1;
const isBlunt = 2;

export function faceSums(mesh: TriangleMesh): FaceSums {
  const { positions, triangles } = mesh;
  const seen = new Uint8Array(positions.length / 3);
  const count = triangles.length / 3;
  const areaBefore = new Float64Array(Math.ceil(count / blockTriangles) + 1);
  const largest = new Float64Array(areaBefore.length);
  const sums = new Float64Array(6);
  inBatches(count, (from, to) => lookAt(mesh, from, to, seen, largest, areaBefore, sums));
  const area = sums[0]!;
  areaBefore[areaBefore.length - 1] = area;
  const tips: number[] = [];
  inBatches(seen.length, (from, to) => findTips(seen, from, to, tips));
  return {
    large: largeFaces(mesh, largest, (largeTimes * area) / count),
    tips,
    slivers: sums[5]!,
    area,
    areaBefore,
    openArea: Math.hypot(sums[1]!, sums[2]!, sums[3]!) / 2,
    sixVolumes: sums[4]!,
  };
}

/** @param largest the square of twice the largest area in each block */
function largeFaces(mesh: TriangleMesh, largest: Float64Array, limit: number): LargeFaces {
  const count = mesh.triangles.length / 3;
  const triangles: number[] = [];
  const areas: number[] = [];
  for (let block = 0; block < largest.length; block++) {
    if (!(largest[block]! > 4 * limit * limit)) continue;
    for (let t = block * blockTriangles; t < Math.min(count, (block + 1) * blockTriangles); t++) {
      const area = triangleArea(mesh, t);
      if (!(area > limit)) continue;
      triangles.push(t);
      areas.push(area);
    }
  }
  return { triangles: Uint32Array.from(triangles), areas: Float32Array.from(areas), limit };
}

function findTips(seen: Uint8Array, from: number, to: number, tips: number[]): void {
  for (let v = from; v < to; v++) if (seen[v] === isSharp) tips.push(v);
}

/**
 * Marks the vertices of some triangles, and adds to six sums: area, twice the vector area (x, y, z), six volumes, slivers.
 * One plain loop, since every triangle comes by here.
 */
function lookAt(
  { positions: p, triangles }: TriangleMesh,
  from: number,
  to: number,
  seen: Uint8Array,
  largest: Float64Array,
  areaBefore: Float64Array,
  sums: Float64Array,
): void {
  const ox = p[0]!;
  const oy = p[1]!;
  const oz = p[2]!;
  let area = sums[0]!;
  let x = sums[1]!;
  let y = sums[2]!;
  let z = sums[3]!;
  let volumes = sums[4]!;
  let slivers = sums[5]!;
  for (let t = from; t < to; t++) {
    const block = t >> blockBits;
    if (t === block << blockBits) areaBefore[block] = area;
    const a = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    const ax = p[3 * a]!;
    const ay = p[3 * a + 1]!;
    const az = p[3 * a + 2]!;
    const ux = p[3 * b]! - ax;
    const uy = p[3 * b + 1]! - ay;
    const uz = p[3 * b + 2]! - az;
    const vx = p[3 * c]! - ax;
    const vy = p[3 * c + 1]! - ay;
    const vz = p[3 * c + 2]! - az;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const square = nx * nx + ny * ny + nz * nz;
    area += Math.sqrt(square) / 2;
    if (square > largest[block]!) largest[block] = square;
    x += nx;
    y += ny;
    z += nz;
    volumes += (ax - ox) * nx + (ay - oy) * ny + (az - oz) * nz;
    const wx = vx - ux;
    const wy = vy - uy;
    const wz = vz - uz;
    const ab = ux * ux + uy * uy + uz * uz;
    const ca = vx * vx + vy * vy + vz * vz;
    const bc = wx * wx + wy * wy + wz * wz;
    // At each corner the shorter of its spokes tells, against the side across; all squared.
    const atA = Math.min(ab, ca);
    const atB = Math.min(ab, bc);
    const atC = Math.min(bc, ca);
    seen[a]! |= atA > sharp * sharp * bc ? isSharp : bc < long * long * atA ? isBlunt : 0;
    seen[b]! |= atB > sharp * sharp * ca ? isSharp : ca < long * long * atB ? isBlunt : 0;
    seen[c]! |= atC > sharp * sharp * ab ? isSharp : ab < long * long * atC ? isBlunt : 0;
    // Twice the area is the longest side times the width.
    const longest = Math.max(ab, bc, ca);
    if (square < sliver * sliver * longest * longest) slivers++;
  }
  sums[0] = area;
  sums[1] = x;
  sums[2] = y;
  sums[3] = z;
  sums[4] = volumes;
  sums[5] = slivers;
}
