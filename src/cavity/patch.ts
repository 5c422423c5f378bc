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
  isLeftOut: (t: number) => boolean = () => false,
): { order: Uint32Array; start: Uint32Array } {
  const { triangles } = mesh;
  const count = triangles.length / 3;
  const hollowOf = (t: number) => {
    let lowest = triangles[3 * t]!;
    for (let k = 1; k < 3; k++) {
      const v = triangles[3 * t + k]!;
      if (wall.z[v]! < wall.z[lowest]!) lowest = v;
    }
    return wall.z[lowest]! < 0 && !isLeftOut(t) ? wall.labels[lowest]! : 0;
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
  const { corners, global } = numberedLocally(triangles, own, localNumbers(mesh));
  const opposite = oppositeHalfEdges(corners, global.length);
  const { indices, count, vertexOf } = partFans(corners, opposite);
  const { x0, x1, y0, y1 } = planBox(positions, global.length, global);
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

/** The corners of some triangles, with their vertices numbered as they come; `global` are the mesh's own numbers of them. */
function numberedLocally(triangles: Uint32Array, own: Uint32Array, numbers: Int32Array) {
  const corners = new Uint32Array(3 * own.length);
  const room = new Uint32Array(Math.min(3 * own.length, numbers.length));
  let used = 0;
  for (let i = 0; i < own.length; i++) {
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * own[i]! + k]!;
      let local = numbers[v]!;
      if (local < 0) {
        local = numbers[v] = used;
        room[used++] = v;
      }
      corners[3 * i + k] = local;
    }
  }
  for (let i = 0; i < used; i++) numbers[room[i]!] = -1;
  return { corners, global: room.subarray(0, used) };
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
  const unnumbered = 0xffffffff;
  const indices = new Uint32Array(corners.length).fill(unnumbered);
  const vertexOf = new Uint32Array(corners.length);
  let count = 0;
  for (let h = 0; h < corners.length; h++) {
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
  return { indices, count, vertexOf };
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
