import { inBatches } from '../base/batches.js';

/**
 * A triangle mesh with shared vertices.
 *
 * Vertices that lie at bitwise equal coordinates are one vertex. Triangles run counter-clockwise seen from the side
 * their surface faces: out of a mould's solid, or out of a scanned surface towards the scanner.
 */
export interface TriangleMesh {
  /** x, y, z per vertex: stride 3, float64. */
  readonly positions: Float64Array;
  /** Three vertex indices per triangle: stride 3. */
  readonly triangles: Uint32Array;
  /** Names of the objects or groups of the file, where it has any. */
  readonly objectNames?: readonly string[];
  /** Per triangle, an index into `objectNames`. */
  readonly objectOf?: Uint32Array;
}

export function vertexCount(mesh: TriangleMesh): number {
  return mesh.positions.length / 3;
}

/** The upright box round all points (stride 3): least x, y, z and largest; empty where there are none. */
export function boxOf(positions: Float64Array): number[] {
  if (positions.length === 0) return [];
  const box = Float64Array.of(Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity);
  inBatches(positions.length, (from, to) => widen(box, positions, from, to), 3);
  return [...box];
}

/** Sides of the upright box round all points (stride 3), along x, y and z; there is at least one. */
export function boxSides(positions: Float64Array): [number, number, number] {
  const [x0, y0, z0, x1, y1, z1] = boxOf(positions) as [number, number, number, number, number, number];
  return [x1 - x0, y1 - y0, z1 - z0];
}

function widen(box: Float64Array, positions: Float64Array, from: number, to: number): void {
  let x0 = box[0]!;
  let y0 = box[1]!;
  let z0 = box[2]!;
  let x1 = box[3]!;
  let y1 = box[4]!;
  let z1 = box[5]!;
  for (let i = from; i < to; i += 3) {
    const x = positions[i]!;
    const y = positions[i + 1]!;
    const z = positions[i + 2]!;
    if (x < x0) x0 = x;
    if (x > x1) x1 = x;
    if (y < y0) y0 = y;
    if (y > y1) y1 = y;
    if (z < z0) z0 = z;
    if (z > z1) z1 = z;
  }
  box[0] = x0;
  box[1] = y0;
  box[2] = z0;
  box[3] = x1;
  box[4] = y1;
  box[5] = z1;
}

/** How far some points reach in plan. */
export interface PlanBox {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** The box in plan round the first `count` points, or round those that `vertices` lists. */
export function planBox(positions: Float64Array, count: number, vertices?: Uint32Array): PlanBox {
  const box = Float64Array.of(Infinity, Infinity, -Infinity, -Infinity);
  inBatches(count, (from, to) => widenInPlan(box, positions, from, to, vertices));
  return { x0: box[0]!, y0: box[1]!, x1: box[2]!, y1: box[3]! };
}

function widenInPlan(
  box: Float64Array,
  positions: Float64Array,
  from: number,
  to: number,
  vertices?: Uint32Array,
): void {
  let x0 = box[0]!;
  let y0 = box[1]!;
  let x1 = box[2]!;
  let y1 = box[3]!;
  for (let i = from; i < to; i++) {
    const at = 3 * (vertices === undefined ? i : vertices[i]!);
    const x = positions[at]!;
    const y = positions[at + 1]!;
    if (x < x0) x0 = x;
    if (x > x1) x1 = x;
    if (y < y0) y0 = y;
    if (y > y1) y1 = y;
  }
  box[0] = x0;
  box[1] = y0;
  box[2] = x1;
  box[3] = y1;
}
