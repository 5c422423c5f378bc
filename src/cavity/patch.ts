import { nextHalfEdge, oppositeHalfEdges } from '../mesh/half-edges.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { UnionFind } from '../mesh/union-find.js';
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
 * @returns the triangles' numbers, grouped: hollow k has `order[start[k]] … order[start[k + 1] - 1]`
 */
export function trianglesByHollow(mesh: TriangleMesh, wall: WallField): { order: Uint32Array; start: Uint32Array } {
  const { triangles } = mesh;
  const count = triangles.length / 3;
  const hollowOf = (t: number) => {
    let lowest = triangles[3 * t]!;
    for (let k = 1; k < 3; k++) {
      const v = triangles[3 * t + k]!;
      if (wall.z[v]! < wall.z[lowest]!) lowest = v;
    }
    return wall.z[lowest]! < 0 ? wall.labels[lowest]! : 0;
  };
  const start = new Uint32Array(wall.count + 2);
  const hollows = new Int32Array(count);
  for (let t = 0; t < count; t++) {
    const hollow = hollowOf(t);
    hollows[t] = hollow;
    start[hollow + 1]!++;
  }
  for (let k = 0; k <= wall.count; k++) start[k + 1]! += start[k]!;
  const order = new Uint32Array(count);
  const filled = start.slice();
  for (let t = 0; t < count; t++) order[filled[hollows[t]!]!++] = t;
  return { order, start };
}

/** Cuts the triangles of one hollow out of the plate. Vertices at which the patch only touches itself are parted. */
export function cutPatch(mesh: TriangleMesh, z: Float64Array, own: Uint32Array): Patch {
  const { positions, triangles } = mesh;
  const numbers = localNumbers(mesh);
  const global: number[] = [];
  const corners = new Uint32Array(3 * own.length);
  for (let i = 0; i < own.length; i++) {
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * own[i]! + k]!;
      let local = numbers[v]!;
      if (local < 0) {
        local = numbers[v] = global.length;
        global.push(v);
      }
      corners[3 * i + k] = local;
    }
  }
  for (const v of global) numbers[v] = -1;
  const opposite = oppositeHalfEdges(corners, global.length);
  const { indices, count, vertexOf } = partFans(corners, opposite);

  let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const v of global) {
    x0 = Math.min(x0, positions[3 * v]!);
    x1 = Math.max(x1, positions[3 * v]!);
    y0 = Math.min(y0, positions[3 * v + 1]!);
    y1 = Math.max(y1, positions[3 * v + 1]!);
  }
  const centre = [(x0 + x1) / 2, (y0 + y1) / 2] as const;
  const local = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) {
    const v = global[vertexOf[i]!]!;
    local[3 * i] = positions[3 * v]! - centre[0];
    local[3 * i + 1] = positions[3 * v + 1]! - centre[1];
    local[3 * i + 2] = z[v]!;
  }
  return { positions: local, triangles: indices, centre, loops: borderLoops(indices, opposite, count) };
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

/** Gives each fan of triangles round a vertex a vertex of its own. */
function partFans(corners: Uint32Array, opposite: Int32Array) {
  const sets = new UnionFind(corners.length);
  for (let h = 0; h < corners.length; h++) {
    const other = opposite[h]!;
    if (other < h) continue;
    sets.union(h, nextHalfEdge(other));
    sets.union(nextHalfEdge(h), other);
  }
  const number = new Int32Array(corners.length).fill(-1);
  const indices = new Uint32Array(corners.length);
  const vertexOf: number[] = [];
  for (let h = 0; h < corners.length; h++) {
    const root = sets.find(h);
    if (number[root]! < 0) {
      number[root] = vertexOf.length;
      vertexOf.push(corners[h]!);
    }
    indices[h] = number[root]!;
  }
  return { indices, count: vertexOf.length, vertexOf };
}

function borderLoops(indices: Uint32Array, opposite: Int32Array, vertexCount: number): Uint32Array[] {
  const onward = new Int32Array(vertexCount).fill(-1);
  for (let h = 0; h < indices.length; h++) if (opposite[h]! < 0) onward[indices[h]!] = indices[nextHalfEdge(h)]!;
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
