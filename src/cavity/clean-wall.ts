import { inBatches } from '../base/batches.js';
import { GrowingUint32 } from '../base/growing.js';
import { isOneShell } from '../mesh/shells.js';
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
  for (let v = 0; v < n; v++) {
    const height = mesh.positions[3 * v + 2]!;
    z[v] = Math.abs(height) <= snapMm ? 0 : height;
  }
  const { labels, count } = deepParts(mesh, z, limitMm);
  giveOutShallows(mesh, z, labels);
  return { z, calm: z, labels, count, noiseMm: 0, reach: labels, standsOutMm: isOneShell(mesh) ? null : 0 };
}

/**
 * Labels the shallow rest of each hollow.
 * @param labels of the deep vertices; those under the scrape surface that reach one get its label
 */
export function giveOutShallows(mesh: TriangleMesh, z: Float64Array, labels: Int32Array): void {
  const { triangles } = mesh;
  // Neighbour lists of the vertices that lie under the scrape surface but not deep: few of a large mesh.
  const shallow = new Uint8Array(z.length);
  for (let v = 0; v < shallow.length; v++) shallow[v] = z[v]! < 0 && labels[v] === 0 ? 1 : 0;
  const beside = new GrowingUint32();
  inBatches(triangles.length, (from, to) => trianglesAt(triangles, shallow, from, to, beside), 3);
  const near = beside.take();
  // Counted first, so that the lists have one array.
  const start = new Uint32Array(z.length + 1);
  inBatches(near.length, (from, to) => neighboursUnderZero(triangles, shallow, z, near, from, to, start, null));
  for (let v = 0; v < z.length; v++) start[v + 1]! += start[v]!;
  const neighbours = new Uint32Array(start[z.length]!);
  const filled = start.slice();
  inBatches(near.length, (from, to) => neighboursUnderZero(triangles, shallow, z, near, from, to, filled, neighbours));
  const found = new GrowingUint32();
  for (let v = 0; v < z.length; v++) if (shallow[v] === 1) found.push(v);
  const shallows = found.take();
  const order = deepestFirst(Float64Array.from(shallows, (v) => -z[v]!));
  // A vertex whose neighbours are all unlabelled waits until one of them gets a label.
  for (let i = 0; i < order.length; i++) {
    const first = shallows[order[i]!]!;
    if (labels[first] !== 0) continue;
    const label = lowestLabel(first);
    if (label === 0) continue;
    labels[first] = label;
    const stack = [first];
    while (stack.length > 0) {
      const v = stack.pop()!;
      for (let i = start[v]!; i < start[v + 1]!; i++) {
        const w = neighbours[i]!;
        if (labels[w] !== 0 || z[w]! > z[first]!) continue;
        labels[w] = labels[v]!;
        stack.push(w);
      }
    }
  }

  function lowestLabel(v: number): number {
    let label = 0;
    let lowest = Infinity;
    for (let i = start[v]!; i < start[v + 1]!; i++) {
      const w = neighbours[i]!;
      if (labels[w] !== 0 && z[w]! < lowest) {
        lowest = z[w]!;
        label = labels[w]!;
      }
    }
    return label;
  }
}

/** The triangles with a flagged corner. */
function trianglesAt(triangles: Uint32Array, flags: Uint8Array, from: number, to: number, found: GrowingUint32): void {
  for (let t = from; t < to; t += 3) {
    if (flags[triangles[t]!] === 1 || flags[triangles[t + 1]!] === 1 || flags[triangles[t + 2]!] === 1) found.push(t);
  }
}

/**
 * The neighbours under zero of flagged vertices, over some triangles near them.
 * @param at without a list it counts them, at the place behind each vertex; with one it is where each vertex's next goes
 */
function neighboursUnderZero(
  triangles: Uint32Array,
  flags: Uint8Array,
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
      if (flags[v] === 0) continue;
      const w = triangles[near[i]! + (((k >> 1) + 1 + (k & 1)) % 3)]!;
      if (z[w]! >= 0) continue;
      if (list === null) at[v + 1]!++;
      else list[at[v]!++] = w;
    }
  }
}
