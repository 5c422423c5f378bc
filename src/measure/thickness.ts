import type { TaskOptions } from '../base/source.js';
import { breathe } from './breathe.js';
import type { MeasuredBody } from './measured-body.js';
import { refineWall } from './refine-wall.js';
import { chunkFaces, type ThicknessTask, takeChunk, thicknessUnder } from './thickness-chunks.js';
import type { WallParts } from './wall-index.js';

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

/** Thickness at a wall point with the inward unit normal n. */
export function thicknessAtWall(
  body: MeasuredBody,
  x: number,
  y: number,
  z: number,
  nx: number,
  ny: number,
  nz: number,
): number {
  return thicknessUnder(body.wall, body.largestBall.diameterMm, x, y, z, nx, ny, nz);
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
  const threads = count > fewFaces && task.threads?.sharesMemory ? task.threads : undefined;
  const make = threads === undefined ? plain : shared;
  const sampling: ThicknessTask = {
    wall: threads === undefined ? body.wall.parts : inSharedMemory(body.wall.parts),
    mostMm: body.largestBall.diameterMm,
    positions: make(positions),
    triangles: make(triangles),
    partOf: make(partOf),
    thicknessMm: make(new Float64Array(count)),
    stoppedBy: make(new Int32Array(count)),
    next: make(new Int32Array(1)),
  };
  const others = threads && Array.from({ length: threads.size }, () => threads.run('thickness', sampling));

  const areaMm2 = new Float64Array(count);
  const inMm = new Float64Array(count);
  for (let f = 0; f < count; f++) {
    const a = 3 * triangles[3 * f]!;
    const b = 3 * triangles[3 * f + 1]!;
    const c = 3 * triangles[3 * f + 2]!;
    inMm[f] = (inAt[a / 3]! + inAt[b / 3]! + inAt[c / 3]!) / 3;
    areaMm2[f] = areaOf(positions, a, b, c);
  }
  if (others !== undefined) await Promise.all(others);
  else {
    const pause = breathe(task, 'thickness');
    while (takeChunk(sampling, body.wall)) await pause((chunkFaces * sampling.next[0]!) / count);
  }
  // Copied out of shared memory, so that the map can go wherever plain arrays can.
  const [thicknessMm, stoppedBy] =
    threads === undefined
      ? [sampling.thicknessMm, sampling.stoppedBy]
      : [sampling.thicknessMm.slice(), sampling.stoppedBy.slice()];
  return { positions, triangles, partOf, thicknessMm, areaMm2, inMm, stoppedBy };
}

/** Under this many faces it takes longer to hand them out than to do them. */
const fewFaces = 30_000;

const plain = <T>(array: T): T => array;

/** The same numbers in memory that all threads see. */
function shared<T extends Float64Array | Uint32Array | Int32Array | Uint8Array>(array: T): T {
  const copy = new (array.constructor as new (buffer: SharedArrayBuffer) => T)(new SharedArrayBuffer(array.byteLength));
  copy.set(array as never);
  return copy;
}

function inSharedMemory({ tree, ...arrays }: WallParts): WallParts {
  const all = <T extends object>(parts: T) =>
    Object.fromEntries(Object.entries(parts).map(([name, array]) => [name, shared(array)])) as T;
  return { ...all(arrays), tree: all(tree) };
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
