import { inBatches } from '../base/batches.js';
import { nextHalfEdge, oppositeHalfEdges, previousHalfEdge } from '../mesh/half-edges.js';
import { planBox, type TriangleMesh } from '../mesh/triangle-mesh.js';
import type { WallField } from './wall-field.js';

/** The piece of the plate's surface that makes one hollow's wall, with its own vertex numbers. */
export interface Patch {
  /** x, y, z per vertex, z with the noise taken out; x and y are relative to `centre`. */
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly centre: readonly [number, number];
  /** Borders of the patch: vertex numbers, in the direction of the patch's own half-edges. */
  readonly loops: readonly Uint32Array[];
}

/**
 * Sorts the triangles by hollow: a triangle belongs to the hollow of its lowest vertex, if that lies under the scrape
 * surface.
 * @param isLeftOut asked of triangles that reach under the scrape surface
 * @returns the triangles' numbers, grouped: hollow k has `order[start[k]] … order[start[k + 1] - 1]`
 */
export function trianglesByHollow(
  mesh: TriangleMesh,
  wall: WallField,
  isLeftOut: ((t: number) => boolean) | null = null,
): { order: Uint32Array; start: Uint32Array } {
  const count = mesh.triangles.length / 3;
  const start = new Uint32Array(wall.count + 2);
  const hollows = new Int32Array(count);
  inBatches(count, (from, to) => sortByHollow(mesh.triangles, wall, isLeftOut, from, to, hollows, start));
  for (let k = 0; k <= wall.count; k++) start[k + 1]! += start[k]!;
  const order = new Uint32Array(count);
  const filled = start.slice();
  inBatches(count, (from, to) => putInOrder(hollows, from, to, filled, order));
  return { order, start };
}

/** Notes the hollow of some triangles, and counts them at the place behind their hollow's. */
function sortByHollow(
  triangles: Uint32Array,
  { z, labels }: WallField,
  isLeftOut: ((t: number) => boolean) | null,
  from: number,
  to: number,
  hollows: Int32Array,
  counts: Uint32Array,
): void {
  for (let t = from; t < to; t++) {
    let lowest = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    if (z[b]! < z[lowest]!) lowest = b;
    if (z[c]! < z[lowest]!) lowest = c;
    let hollow = z[lowest]! < 0 ? labels[lowest]! : 0;
    if (hollow !== 0 && isLeftOut?.(t)) hollow = 0;
    hollows[t] = hollow;
    counts[hollow + 1]!++;
  }
}

function putInOrder(hollows: Int32Array, from: number, to: number, filled: Uint32Array, order: Uint32Array): void {
  for (let t = from; t < to; t++) order[filled[hollows[t]!]!++] = t;
}

/** Cuts the triangles of one hollow out of the plate. Vertices at which the patch only touches itself are parted. */
export function cutPatch(mesh: TriangleMesh, z: Float64Array, own: Uint32Array): Patch {
  const { positions, triangles } = mesh;
  const { corners, global } = numberedLocally(triangles, own, localNumbers(mesh));
  const opposite = oppositeHalfEdges(corners, global.length);
  const { indices, count, vertexOf } = partFans(corners, opposite);
  const { x0, x1, y0, y1 } = planBox(positions, global.length, global);
  const centre = [(x0 + x1) / 2, (y0 + y1) / 2] as const;
  const local = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) vertexOf[i] = global[vertexOf[i]!]!;
  inBatches(count, (from, to) => putPlaces(positions, z, vertexOf, centre, from, to, local));
  return { positions: local, triangles: indices, centre, loops: borderLoops(indices, opposite, count) };
}

/** The places of some of the patch's vertices, of which `vertexOf` are the mesh's own. */
function putPlaces(
  positions: Float64Array,
  z: Float64Array,
  vertexOf: Uint32Array,
  [cx, cy]: readonly [number, number],
  from: number,
  to: number,
  into: Float64Array,
): void {
  for (let i = from; i < to; i++) {
    const v = vertexOf[i]!;
    into[3 * i] = positions[3 * v]! - cx;
    into[3 * i + 1] = positions[3 * v + 1]! - cy;
    into[3 * i + 2] = z[v]!;
  }
}

/** The corners of some triangles, with their vertices numbered as they come; `global` are the mesh's own numbers of them. */
function numberedLocally(triangles: Uint32Array, own: Uint32Array, numbers: Int32Array) {
  const corners = new Uint32Array(3 * own.length);
  const global = new Uint32Array(Math.min(3 * own.length, numbers.length));
  let used = 0;
  inBatches(own.length, (from, to) => {
    used = numberCorners(triangles, own, from, to, numbers, corners, global, used);
  });
  for (let i = 0; i < used; i++) numbers[global[i]!] = -1;
  return { corners, global: global.subarray(0, used) };
}

function numberCorners(
  triangles: Uint32Array,
  own: Uint32Array,
  from: number,
  to: number,
  numbers: Int32Array,
  corners: Uint32Array,
  global: Uint32Array,
  before: number,
): number {
  let used = before;
  for (let i = from; i < to; i++) {
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * own[i]! + k]!;
      let local = numbers[v]!;
      if (local < 0) {
        local = numbers[v] = used;
        global[used++] = v;
      }
      corners[3 * i + k] = local;
    }
  }
  return used;
}

/** A number per vertex of a mesh, -1 between uses: one array for all patches of the mesh. */
function localNumbers(mesh: TriangleMesh): Int32Array {
  let numbers = scratch.get(mesh.positions);
  if (numbers === undefined) {
    numbers = new Int32Array(mesh.positions.length / 3).fill(-1);
    scratch.set(mesh.positions, numbers);
  }
  return numbers;
}

const scratch = new WeakMap<Float64Array, Int32Array>();

/**
 * Gives each fan of triangles round a vertex a vertex of its own, numbered in the order of the corners. A fan is walked
 * from corner to corner over the sides that two triangles share: backwards to its border, where it has one, and onwards.
 */
function partFans(corners: Uint32Array, opposite: Int32Array) {
  const indices = new Uint32Array(corners.length).fill(unnumbered);
  const vertexOf = new Uint32Array(corners.length);
  let count = 0;
  inBatches(corners.length, (from, to) => {
    count = numberFans(corners, opposite, from, to, indices, vertexOf, count);
  });
  return { indices, count, vertexOf };
}

const unnumbered = 0xffffffff;

function numberFans(
  corners: Uint32Array,
  opposite: Int32Array,
  from: number,
  to: number,
  indices: Uint32Array,
  vertexOf: Uint32Array,
  before: number,
): number {
  let count = before;
  for (let h = from; h < to; h++) {
    if (indices[h] !== unnumbered) continue;
    const number = count++;
    vertexOf[number] = corners[h]!;
    indices[h] = number;
    // The half-edge that leaves the same corner of the next triangle of the fan, one way round and then the other.
    let at = opposite[previousHalfEdge(h)]!;
    for (; at >= 0 && indices[at] === unnumbered; at = opposite[previousHalfEdge(at)]!) indices[at] = number;
    if (at >= 0) continue;
    for (at = opposite[h]!; at >= 0; at = opposite[at]!) {
      at = nextHalfEdge(at);
      if (indices[at] !== unnumbered) break;
      indices[at] = number;
    }
  }
  return count;
}

function borderLoops(indices: Uint32Array, opposite: Int32Array, vertexCount: number): Uint32Array[] {
  const onward = new Int32Array(vertexCount).fill(-1);
  inBatches(indices.length, (from, to) => linkBorder(indices, opposite, from, to, onward));
  const loops: Uint32Array[] = [];
  for (let first = 0; first < vertexCount; first++) {
    if (onward[first]! < 0) continue;
    const loop: number[] = [];
    for (let v = first; onward[v]! >= 0; ) {
      loop.push(v);
      const following = onward[v]!;
      onward[v] = -1;
      v = following;
    }
    loops.push(Uint32Array.from(loop));
  }
  return loops;
}

/** Notes which vertex follows which along the border. */
function linkBorder(indices: Uint32Array, opposite: Int32Array, from: number, to: number, onward: Int32Array): void {
  for (let h = from; h < to; h++) if (opposite[h]! < 0) onward[indices[h]!] = indices[nextHalfEdge(h)]!;
}
