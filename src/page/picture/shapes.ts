import type { FillBody } from '../../cavity/fill-body.js';
import type { ThicknessMap } from '../../measure/thickness.js';
import type { TriangleMesh } from '../../mesh/triangle-mesh.js';
import { coveredLast } from './covered.js';
import { hiddenUnderWall } from './hidden.js';

/** A surface as the graphics card takes it. Made in the worker, handed over without a copy. */
export interface Surface {
  /** x, y, z per vertex in the plate frame, mm: stride 3. */
  readonly positions: Float32Array;
  /** x, y, z per vertex, -127 to 127, and one byte of padding: stride 4. */
  readonly normals: Int8Array;
  readonly triangles: Uint32Array;
  /** xMin, yMin, zMin, xMax, yMax, zMax, mm. */
  readonly boxMm: readonly [number, number, number, number, number, number];
}

export interface PlateSurface extends Surface {
  /** Of `triangles`, how many indices are not covered by a fill body that lies in the mould. */
  readonly openIndices: number;
}

export interface BodySurface extends Surface {
  readonly number: number;
  /** Of `triangles`, how many indices are wall; the rest are the opening. */
  readonly wallIndices: number;
  /** Thickness of the piece at each vertex, mm; NaN where it is not known. */
  readonly thicknessMm: Float32Array;
  /** How far each vertex lies under the wall, in plan, mm; 0 where it is seen from above. */
  readonly hiddenMm: Float32Array;
  /** Largest of them. */
  readonly mostHiddenMm: number;
}

export interface Shapes {
  readonly plate: PlateSurface;
  readonly bodies: readonly BodySurface[];
  /** Five sixths of the wall, by area, are thinner than this; null where no thickness is known. */
  readonly thickMm: number | null;
}

/** Faces that lean away from their vertex's normal by more than this (cosine) make the vertex an edge. */
const edgeCosine = 0.85;

/**
 * Area-weighted vertex normals, packed into bytes; zero on the edges of a plate, where an average would be no surface's.
 * @returns stride 4
 */
export function packedNormals(positions: ArrayLike<number>, triangles: Uint32Array): Int8Array {
  const normals = new Float32Array(positions.length);
  const faces = new Float32Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
    const ux = positions[b]! - positions[a]!;
    const uy = positions[b + 1]! - positions[a + 1]!;
    const uz = positions[b + 2]! - positions[a + 2]!;
    const vx = positions[c]! - positions[a]!;
    const vy = positions[c + 1]! - positions[a + 1]!;
    const vz = positions[c + 2]! - positions[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    for (const vertex of [a, b, c]) {
      normals[vertex]! += nx;
      normals[vertex + 1]! += ny;
      normals[vertex + 2]! += nz;
    }
    const length = Math.hypot(nx, ny, nz) || 1;
    faces[t] = nx / length;
    faces[t + 1] = ny / length;
    faces[t + 2] = nz / length;
  }
  for (let v = 0; v < normals.length; v += 3) {
    const length = Math.hypot(normals[v]!, normals[v + 1]!, normals[v + 2]!) || 1;
    for (let k = 0; k < 3; k++) normals[v + k]! /= length;
  }
  const edge = new Uint8Array(positions.length / 3);
  for (let i = 0; i < triangles.length; i++) {
    const [v, t] = [triangles[i]!, i - (i % 3)];
    const cosine =
      normals[3 * v]! * faces[t]! + normals[3 * v + 1]! * faces[t + 1]! + normals[3 * v + 2]! * faces[t + 2]!;
    if (cosine < edgeCosine) edge[v] = 1;
  }
  const packed = new Int8Array(4 * edge.length);
  for (let v = 0; v < edge.length; v++) {
    if (edge[v] === 1) continue;
    for (let k = 0; k < 3; k++) packed[4 * v + k] = Math.round(127 * normals[3 * v + k]!);
  }
  return packed;
}

/** Values of triangles carried to their vertices, weighted by nothing: neighbours are alike in size. NaN where none is known. */
export function toVertices(perTriangle: ArrayLike<number>, triangles: Uint32Array, vertexCount: number): Float32Array {
  const sums = new Float32Array(vertexCount);
  const counts = new Uint16Array(vertexCount);
  for (let t = 0; t < perTriangle.length; t++) {
    const value = perTriangle[t]!;
    if (!Number.isFinite(value)) continue;
    for (let k = 0; k < 3; k++) {
      const vertex = triangles[3 * t + k]!;
      sums[vertex]! += value;
      counts[vertex]!++;
    }
  }
  return sums.map((sum, v) => (counts[v] === 0 ? Number.NaN : sum / counts[v]!));
}

export interface BodyInput {
  readonly number: number;
  readonly body: FillBody;
  /** The wall with a thickness for every face; absent where none was measured. */
  readonly map?: Pick<ThicknessMap, 'positions' | 'triangles' | 'thicknessMm' | 'areaMm2'> | undefined;
}

function boxOf(positions: Float32Array): Surface['boxMm'] {
  const box: [number, number, number, number, number, number] = [1, 1, 1, -1, -1, -1].map(
    (sign) => sign * Infinity,
  ) as never;
  for (let i = 0; i < positions.length; i++) {
    const k = i % 3;
    box[k] = Math.min(box[k]!, positions[i]!);
    box[k + 3] = Math.max(box[k + 3]!, positions[i]!);
  }
  return box;
}

function largest(values: Float32Array): number {
  let most = 0;
  for (const value of values) if (value > most) most = value;
  return most;
}

/** The thickness that five sixths of the wall, by area, stay under. */
function thickPlaces(bodies: readonly BodyInput[]): number | null {
  const areas = new Float64Array(2000);
  let whole = 0;
  for (const { map } of bodies) {
    map?.thicknessMm.forEach((value, face) => {
      // Steps of 0.05 mm; what is thicker than 100 mm is in the last.
      const step = Math.min(areas.length - 1, Math.floor(value * 20));
      areas[step]! += map.areaMm2[face]!;
      whole += map.areaMm2[face]!;
    });
  }
  let under = 0;
  const step = areas.findIndex((area) => (under += area) >= (whole * 5) / 6);
  return whole === 0 ? null : (step + 1) / 20;
}

/** The wall, as finely divided as its thickness was measured, and the opening over it as one mesh. */
function bodySurface({ number, body, map }: BodyInput): BodySurface {
  const lid = body.triangles.subarray(3 * body.wallTriangles);
  const wall = map ?? { positions: body.positions, triangles: body.triangles.subarray(0, 3 * body.wallTriangles) };
  const wallValues = wall.positions.length;
  const positions = new Float32Array(wallValues + (map === undefined ? 0 : body.positions.length));
  positions.set(wall.positions);
  if (map !== undefined) positions.set(body.positions, wallValues);
  const triangles = new Uint32Array(wall.triangles.length + lid.length);
  triangles.set(wall.triangles);
  const shift = map === undefined ? 0 : wallValues / 3;
  for (let i = 0; i < lid.length; i++) triangles[wall.triangles.length + i] = lid[i]! + shift;
  const thicknessMm = toVertices(map?.thicknessMm ?? [], triangles, positions.length / 3);
  const hiddenMm = hiddenUnderWall(positions, triangles, wall.triangles.length);
  return {
    number,
    positions,
    normals: packedNormals(positions, triangles),
    triangles,
    wallIndices: wall.triangles.length,
    thicknessMm,
    hiddenMm,
    mostHiddenMm: largest(hiddenMm),
    boxMm: boxOf(positions),
  };
}

/** Everything the picture draws, from what a survey hands over. */
export function buildShapes(
  plate: Pick<TriangleMesh, 'positions' | 'triangles'>,
  bodies: readonly BodyInput[],
): Shapes {
  const surfaces = bodies.map(bodySurface);
  const positions = Float32Array.from(plate.positions);
  return {
    plate: {
      positions,
      normals: packedNormals(plate.positions, plate.triangles),
      ...coveredLast(positions, plate.triangles, surfaces),
      boxMm: boxOf(positions),
    },
    bodies: surfaces,
    thickMm: thickPlaces(bodies),
  };
}

/** Every buffer of the shapes, to be handed to the page instead of being copied. */
export function buffersOf({ plate, bodies }: Shapes): ArrayBuffer[] {
  const arrays = [plate, ...bodies].flatMap(({ positions, normals, triangles }) => [positions, normals, triangles]);
  const values = bodies.flatMap(({ thicknessMm, hiddenMm }) => [thicknessMm, hiddenMm]);
  return [...arrays, ...values].map((array) => array.buffer as ArrayBuffer);
}
