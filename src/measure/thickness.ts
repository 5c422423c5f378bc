import { placed, taken } from '../base/memory.js';
import type { TaskOptions } from '../base/source.js';
import { triangleArea } from '../mesh/triangle-area.js';
import type { MeasuredBody } from './measured-body.js';
import { inPieces, memoryFor } from './pieces.js';
import { type RefinedWall, refineWall } from './refine-wall.js';
import { rimDistances } from './rim-distances.js';
import { chunkFaces, thicknessPieces, thicknessUnder } from './thickness-chunks.js';
import { valueAtWeight } from './weighted-quantile.js';

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
  const { fill, rim, wall } = body;
  const memory = memoryFor(task);
  const given = await rimDistances(rim, wall.parts.positions, task);
  const added: number[] = [];
  rim.forget();
  const longestAt = (x: number, y: number) => longestEdge(added[added.push(rim.distance(x, y)) - 1]!);
  const longest = placed(given.map(longestEdge), memory);
  const refined = await refineWall({ ...wall.parts, wallTriangles: fill.wallTriangles }, longest, longestAt, task);
  const count = refined.partOf.length;
  const thicknessMm = new Float64Array(memory(8 * count));
  const stoppedBy = new Int32Array(memory(4 * count));
  const input = { wall: wall.parts, mostMm: body.largestBall.diameterMm, ...refined, thicknessMm, stoppedBy };
  const sampled = inPieces(thicknessPieces, input, Math.ceil(count / chunkFaces), task);

  const map = {
    positions: taken(refined.positions),
    triangles: taken(refined.triangles),
    partOf: taken(refined.partOf),
    areaMm2: faceAreas(refined),
    inMm: meansOverCorners(refined, given, added),
  };
  await sampled;
  return { ...map, thicknessMm: taken(thicknessMm), stoppedBy: taken(stoppedBy) };
}

/** A mesh about as fine as wanted is left as it is: it is sampled at the resolution it has. */
function longestEdge(inMm: number): number {
  return 2 * Math.min(coarsestMm, Math.max(finestMm, shareOfDistance * inMm));
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
  let count = 0;
  for (let f = 0; f < inMm.length; f++) if (inMm[f]! > body.allowanceMm) count++;
  const values = new Float64Array(count);
  const areas = new Float64Array(count);
  let half = 0;
  for (let f = 0, k = 0; k < count; f++) {
    if (!(inMm[f]! > body.allowanceMm)) continue;
    values[k] = thicknessMm[f]!;
    areas[k++] = areaMm2[f]!;
    half += areaMm2[f]! / 2;
  }
  const atArea = (from: number) => valueAtWeight(values, areas, from);
  return {
    minMm: atArea(body.fill.noiseMm > 0 ? Math.min(leastAreaMm2, half) : 0),
    medianMm: atArea(half),
    maxMm: body.largestBall.diameterMm,
  };
}

function faceAreas(wall: RefinedWall): Float64Array {
  const areas = new Float64Array(wall.partOf.length);
  for (let f = 0; f < areas.length; f++) areas[f] = triangleArea(wall, f);
  return areas;
}

/** Per face the mean of what its corners have: given vertices first, then added ones. */
function meansOverCorners({ triangles, partOf }: RefinedWall, given: Float64Array, added: number[]): Float64Array {
  const means = new Float64Array(partOf.length);
  for (let f = 0; f < means.length; f++) {
    let sum = 0;
    for (let corner = 3 * f; corner < 3 * f + 3; corner++) {
      const vertex = triangles[corner]!;
      sum += vertex < given.length ? given[vertex]! : added[vertex - given.length]!;
    }
    means[f] = sum / 3;
  }
  return means;
}
