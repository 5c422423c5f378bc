import { inBatches } from '../base/batches.js';
import { GrowingUint32 } from '../base/growing.js';
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
  return cutOut(mesh, z, own, null, null);
}

/**
 * Of the patch that `cutPatch` cuts out only what its rim is made of: the triangles that reach the scrape surface or touch
 * the patch's border, and that border's loops. Where no side has more than two triangles it has the same rim, to the
 * digit, and takes a fraction of the time.
 * @param centre the patch's middle in plan
 */
export function cutRimStrip(
  mesh: TriangleMesh,
  z: Float64Array,
  own: Uint32Array,
  centre: readonly [number, number],
): Patch {
  const { triangles } = mesh;
  const turns = scratchOf(turnsOf, mesh, 0);
  inBatches(own.length, (from, to) => addTurns(triangles, own, from, to, turns));
  const strip = new GrowingUint32();
  inBatches(own.length, (from, to) => addStrip(triangles, z, turns, own, from, to, strip));
  // Where a triangle is left out, none of the vertices it shares with the strip is on the patch's border.
  const patch = cutOut(mesh, z, strip.take(), centre, turns);
  inBatches(own.length, (from, to) => forgetTurns(triangles, own, from, to, turns));
  return patch;
}

/**
 * Per vertex the sum over its triangles of a number drawn for the next corner, less one for the corner before: nothing
 * where they close round it, since each neighbour then comes once as either. One fan that is open cannot cancel; several
 * fans at one vertex do by chance, with odds of one to 2^32.
 */
function addTurns(triangles: Uint32Array, own: Uint32Array, from: number, to: number, turns: Int32Array): void {
  for (let i = from; i < to; i++) {
    const t = 3 * own[i]!;
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    let x = Math.imul(a, 0x9e3779b1);
    let y = Math.imul(b, 0x9e3779b1);
    let z = Math.imul(c, 0x9e3779b1);
    x = Math.imul(x ^ (x >>> 15), 0x85ebca6b);
    y = Math.imul(y ^ (y >>> 15), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 15), 0x85ebca6b);
    x ^= x >>> 13;
    y ^= y >>> 13;
    z ^= z >>> 13;
    turns[a] = (turns[a]! + y - z) | 0;
    turns[b] = (turns[b]! + z - x) | 0;
    turns[c] = (turns[c]! + x - y) | 0;
  }
}

/** The triangles with a corner that is not under the scrape surface, or round which the patch does not close. */
function addStrip(
  triangles: Uint32Array,
  z: Float64Array,
  turns: Int32Array,
  own: Uint32Array,
  from: number,
  to: number,
  strip: GrowingUint32,
): void {
  for (let i = from; i < to; i++) {
    const t = 3 * own[i]!;
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    if ((turns[a]! | turns[b]! | turns[c]!) !== 0 || !(z[a]! < 0 && z[b]! < 0 && z[c]! < 0)) strip.push(own[i]!);
  }
}

function forgetTurns(triangles: Uint32Array, own: Uint32Array, from: number, to: number, turns: Int32Array): void {
  for (let i = from; i < to; i++) {
    const t = 3 * own[i]!;
    turns[triangles[t]!] = turns[triangles[t + 1]!] = turns[triangles[t + 2]!] = 0;
  }
}

/**
 * @param middle of the whole patch, where the triangles are a part of it
 * @param turns per vertex of the mesh nothing where it is not on the border of the whole patch
 */
function cutOut(
  mesh: TriangleMesh,
  z: Float64Array,
  own: Uint32Array,
  middle: readonly [number, number] | null,
  turns: Int32Array | null,
): Patch {
  const { positions, triangles } = mesh;
  const { corners, global } = numberedLocally(triangles, own, scratchOf(numbersOf, mesh, -1));
  const opposite = oppositeHalfEdges(corners, global.length);
  const { indices, count, vertexOf } = partFans(corners, opposite);
  const centre = middle ?? boxMiddle(positions, global);
  const local = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) vertexOf[i] = global[vertexOf[i]!]!;
  inBatches(count, (from, to) => putPlaces(positions, z, vertexOf, centre, from, to, local));
  const loops = borderLoops(indices, opposite, count);
  return {
    positions: local,
    triangles: indices,
    centre,
    loops: turns === null ? loops : loops.filter(([first]) => turns[vertexOf[first!]!] !== 0),
  };
}

function boxMiddle(positions: Float64Array, vertices: Uint32Array): readonly [number, number] {
  const { x0, x1, y0, y1 } = planBox(positions, vertices.length, vertices);
  return [(x0 + x1) / 2, (y0 + y1) / 2];
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

/** A number per vertex of a mesh, `rest` between uses: one array for all patches of the mesh. */
function scratchOf(known: WeakMap<Float64Array, Int32Array>, mesh: TriangleMesh, rest: number): Int32Array {
  let numbers = known.get(mesh.positions);
  if (numbers === undefined) {
    numbers = new Int32Array(mesh.positions.length / 3).fill(rest);
    known.set(mesh.positions, numbers);
  }
  return numbers;
}

const numbersOf = new WeakMap<Float64Array, Int32Array>();
const turnsOf = new WeakMap<Float64Array, Int32Array>();

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
