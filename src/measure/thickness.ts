import type { TaskOptions } from '../base/source.js';
import { breathe } from './breathe.js';
import type { MeasuredBody } from './measured-body.js';
import { refineWall } from './refine-wall.js';

/** Thickness over the whole wall: one sample at the middle of each face. */
export interface ThicknessMap {
  /** x, y, z per vertex of the wall, halved where its triangles were too large. */
  readonly positions: Float64Array;
  /** Three vertex indices per face, counter-clockwise seen from outside the body. */
  readonly triangles: Uint32Array;
  /** Per face: the wall triangle of the fill body that it is a part of. */
  readonly partOf: Uint32Array;
  readonly thicknessMm: Float64Array;
  readonly areaMm2: Float64Array;
  /** Per face: distance in plan of its middle from the rim. */
  readonly inMm: Float64Array;
  /** Per face: the wall triangle of the fill body that stops its ball, -1 where the scrape surface or the cap does. */
  readonly stoppedBy: Int32Array;
}

/** Edges of the map are halved down to this near the rim, to the share of their distance from it farther in. */
const finestMm = 0.1;
const shareOfDistance = 0.25;
const coarsestMm = 2;

/**
 * Thickness at a wall point with the inward unit normal n: the ball that touches the wall there and the scrape surface
 * has the diameter -2z/(1 + n.z); wall that faces the point may stop it earlier, and no ball is larger than the largest
 * that fits.
 */
export function thicknessAtWall(
  body: MeasuredBody,
  x: number,
  y: number,
  z: number,
  nx: number,
  ny: number,
  nz: number,
): number {
  const underSurface = 1 + nz > 1e-12 ? (-2 * z) / (1 + nz) : Infinity;
  const atMost = Math.min(underSurface, body.largestBall.diameterMm);
  return atMost > 0 ? body.wall.ballToFacingWall(x, y, z, nx, ny, nz, atMost) : 0;
}

/** Samples the thickness over every wall face. */
export async function thicknessMap(body: MeasuredBody, task: TaskOptions = {}): Promise<ThicknessMap> {
  const { fill, rim } = body;
  // Distance from the rim per vertex; that of a face is the mean over its corners.
  const inAt: number[] = [];
  const refined = refineWall(fill.positions, fill.triangles, fill.wallTriangles, (x, y) => {
    const distance = rim.distance(x, y);
    inAt.push(distance);
    // A mesh about as fine as wanted is left as it is: it is sampled at the resolution it has.
    return 2 * Math.min(coarsestMm, Math.max(finestMm, shareOfDistance * distance));
  });
  const { positions, triangles, partOf } = refined;
  const count = partOf.length;
  const thicknessMm = new Float64Array(count);
  const areaMm2 = new Float64Array(count);
  const inMm = new Float64Array(count);
  const stoppedBy = new Int32Array(count).fill(-1);
  const pause = breathe(task, 'thickness');
  for (let f = 0; f < count; f++) {
    if (f % 4096 === 0) await pause(f / count);
    const a = 3 * triangles[3 * f]!;
    const b = 3 * triangles[3 * f + 1]!;
    const c = 3 * triangles[3 * f + 2]!;
    const x = (positions[a]! + positions[b]! + positions[c]!) / 3;
    const y = (positions[a + 1]! + positions[b + 1]! + positions[c + 1]!) / 3;
    const z = (positions[a + 2]! + positions[b + 2]! + positions[c + 2]!) / 3;
    const n = 3 * partOf[f]!;
    thicknessMm[f] = thicknessAtWall(body, x, y, z, body.normals[n]!, body.normals[n + 1]!, body.normals[n + 2]!);
    if (thicknessMm[f]! > 0) stoppedBy[f] = body.wall.foundTriangle;
    inMm[f] = (inAt[a / 3]! + inAt[b / 3]! + inAt[c / 3]!) / 3;
    areaMm2[f] = areaOf(positions, a, b, c);
  }
  return { positions, triangles, partOf, thicknessMm, areaMm2, inMm, stoppedBy };
}

/**
 * Thickness at given places.
 * @param points x, y, z per point, on the wall or near it
 * @returns mm per point, at the nearest point of the wall
 */
export function thicknessAt(body: MeasuredBody, points: Float64Array): Float64Array {
  const result = new Float64Array(points.length / 3);
  const { wall, normals } = body;
  for (let i = 0; i < result.length; i++) {
    wall.nearest(points[3 * i]!, points[3 * i + 1]!, points[3 * i + 2]!);
    const { foundX, foundY, foundZ } = wall;
    const n = 3 * wall.foundTriangle;
    result[i] = thicknessAtWall(body, foundX, foundY, foundZ, normals[n]!, normals[n + 1]!, normals[n + 2]!);
  }
  return result;
}

export interface ThicknessSummary {
  readonly minMm: number | null;
  readonly medianMm: number | null;
  readonly maxMm: number;
}

/** Under noise single folded faces are thin: the minimum is what this much wall is thinner than, mm². */
const leastAreaMm2 = 0.3;

/** Minimum and median (by area) over wall farther from the rim than the feather allowance; null where there is none. */
export function thicknessSummary(body: MeasuredBody, map: ThicknessMap): ThicknessSummary {
  const { inMm, thicknessMm, areaMm2 } = map;
  const isBeyond = (f: number) => inMm[f]! > body.allowanceMm;
  let count = 0;
  let half = 0;
  for (let f = 0; f < inMm.length; f++) {
    if (!isBeyond(f)) continue;
    count++;
    half += areaMm2[f]! / 2;
  }
  const beyond = new Uint32Array(count);
  for (let f = 0, k = 0; k < count; f++) if (isBeyond(f)) beyond[k++] = f;
  beyond.sort((a, b) => thicknessMm[a]! - thicknessMm[b]!);
  const atArea = (from: number): number | null => {
    let area = 0;
    const f = beyond.find((face) => (area += areaMm2[face]!) >= from);
    return f === undefined ? null : thicknessMm[f]!;
  };
  return {
    minMm: atArea(body.fill.noiseMm > 0 ? Math.min(leastAreaMm2, half) : 0),
    medianMm: atArea(half),
    maxMm: body.largestBall.diameterMm,
  };
}

function areaOf(p: Float64Array, a: number, b: number, c: number): number {
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  return Math.sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + (ux * vy - uy * vx) ** 2) / 2;
}
