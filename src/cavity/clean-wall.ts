import { inBatches } from '../base/batches.js';
import { GrowingUint32 } from '../base/growing.js';
import { coherenceOf } from '../mesh/coherence.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { deepParts } from './deep-parts.js';
import { deepestFirst } from './deepest-first.js';
import type { WallField } from './wall-field.js';

/**
 * The wall of a mesh without noise: heights are taken as they are, those within `snapMm` of the scrape surface as 0.
 * The shallow rest of each hollow is given out from the deepest vertex upward, so that hollows which a shallow saddle
 * joins part at the saddle (a watershed).
 */
export function cleanWall(mesh: TriangleMesh, limitMm: number, snapMm: number): WallField {
  const n = mesh.positions.length / 3;
  const z = new Float64Array(n);
  inBatches(n, (from, to) => takeHeights(mesh.positions, snapMm, from, to, z));
  const { labels, count } = deepParts(mesh, z, limitMm);
  giveOutShallows(mesh, z, labels);
  return { z, calm: z, labels, count, noiseMm: 0, reach: labels, standsOutMm: coherenceOf(mesh).isOneShell ? null : 0 };
}

function takeHeights(positions: Float64Array, snapMm: number, from: number, to: number, z: Float64Array): void {
  for (let v = from; v < to; v++) {
    const height = positions[3 * v + 2]!;
    z[v] = Math.abs(height) <= snapMm ? 0 : height;
  }
}

/**
 * Labels the shallow rest of each hollow.
 * @param labels of the deep vertices; those under the scrape surface that reach one get its label
 */
export function giveOutShallows(mesh: TriangleMesh, z: Float64Array, labels: Int32Array): void {
  const { triangles } = mesh;
  // The vertices that lie under the scrape surface but not deep: few of a large mesh. Their number in the list, from 1.
  const shallow = new Int32Array(z.length);
  const list = new GrowingUint32();
  inBatches(z.length, (from, to) => findShallows(z, labels, from, to, shallow, list));
  const shallows = list.take();
  if (shallows.length === 0) return;
  const beside = new GrowingUint32();
  inBatches(triangles.length, (from, to) => trianglesAt(triangles, shallow, from, to, beside), 3);
  const near = beside.take();
  // Their neighbours: counted first, so that the lists have one array.
  const start = new Uint32Array(shallows.length + 1);
  inBatches(near.length, (from, to) => neighboursUnderZero(triangles, shallow, z, near, from, to, start, null));
  for (let i = 0; i < shallows.length; i++) start[i + 1]! += start[i]!;
  const neighbours = new Uint32Array(start[shallows.length]!);
  const filled = start.slice();
  inBatches(near.length, (from, to) => neighboursUnderZero(triangles, shallow, z, near, from, to, filled, neighbours));
  const order = deepestFirst(Float64Array.from(shallows, (v) => -z[v]!));
  const stack = new GrowingUint32();
  for (let i = 0; i < order.length; i++) {
    const own = order[i]!;
    const first = shallows[own]!;
    if (labels[first] !== 0) continue;
    // A vertex whose neighbours are all unlabelled waits until one of them gets a label.
    const label = labelOfLowest(z, labels, neighbours, start[own]!, start[own + 1]!);
    if (label !== 0) spread(z, labels, shallow, neighbours, start, first, label, stack);
  }
}

/** Numbers the shallow ones among some vertices. */
function findShallows(
  z: Float64Array,
  labels: Int32Array,
  from: number,
  to: number,
  numbers: Int32Array,
  list: GrowingUint32,
): void {
  for (let v = from; v < to; v++) {
    if (!(z[v]! < 0) || labels[v] !== 0) continue;
    list.push(v);
    numbers[v] = list.length;
  }
}

/** The label of the lowest of some neighbours that have one; 0: none has. */
function labelOfLowest(z: Float64Array, labels: Int32Array, neighbours: Uint32Array, from: number, to: number): number {
  let label = 0;
  let lowest = Infinity;
  for (let i = from; i < to; i++) {
    const w = neighbours[i]!;
    if (labels[w] !== 0 && z[w]! < lowest) {
      lowest = z[w]!;
      label = labels[w]!;
    }
  }
  return label;
}

/** Labels a shallow vertex, and from it those without a label that are no higher. */
function spread(
  z: Float64Array,
  labels: Int32Array,
  shallow: Int32Array,
  neighbours: Uint32Array,
  start: Uint32Array,
  first: number,
  label: number,
  stack: GrowingUint32,
): void {
  labels[first] = label;
  stack.push(first);
  while (stack.length > 0) {
    const own = shallow[stack.pop()]!;
    for (let i = start[own - 1]!; i < start[own]!; i++) {
      const w = neighbours[i]!;
      if (labels[w] !== 0 || z[w]! > z[first]!) continue;
      labels[w] = label;
      stack.push(w);
    }
  }
}

/** The triangles with a numbered corner. */
function trianglesAt(
  triangles: Uint32Array,
  numbers: Int32Array,
  from: number,
  to: number,
  found: GrowingUint32,
): void {
  for (let t = from; t < to; t += 3) {
    if ((numbers[triangles[t]!]! | numbers[triangles[t + 1]!]! | numbers[triangles[t + 2]!]!) !== 0) found.push(t);
  }
}

/**
 * The neighbours under zero of numbered vertices, over some triangles near them.
 * @param at without a list it counts them, at the place behind each number's own; with one it is where the next one goes
 */
function neighboursUnderZero(
  triangles: Uint32Array,
  numbers: Int32Array,
  z: Float64Array,
  near: Uint32Array,
  from: number,
  to: number,
  at: Uint32Array,
  list: Uint32Array | null,
): void {
  for (let i = from; i < to; i++) {
    for (let k = 0; k < 6; k++) {
      const v = triangles[near[i]! + (k >> 1)]!;
      const number = numbers[v]!;
      if (number === 0) continue;
      const w = triangles[near[i]! + (((k >> 1) + 1 + (k & 1)) % 3)]!;
      if (z[w]! >= 0) continue;
      if (list === null) at[number]!++;
      else list[at[number - 1]!++] = w;
    }
  }
}
