import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from './triangle-mesh.js';
import { UnionFind } from './union-find.js';

/** How the triangles of a mesh hang together, as far as their corners alone tell it. */
export interface Coherence {
  /** Has every half-edge as many opposite ones as there are of itself, so that all can be paired? */
  readonly isBalanced: boolean;
  /** Is all of it one shell: triangles that hang together by shared vertices? */
  readonly isOneShell: boolean;
}

/**
 * Told in one pass, without pairing half-edges and without sets of vertices. For the balance a number is drawn for each
 * edge from both its vertices, and added in one direction and subtracted in the other: sums that cancel by chance have
 * odds of one to 2^64. For the shells parts grow from triangle to triangle, and only where parts meet they are
 * joined. Asked of a large mesh more than once: the answer is kept.
 */
export function coherenceOf({ positions, triangles }: TriangleMesh): Coherence {
  let known = answers.get(triangles);
  if (known === undefined) {
    const vertices = positions.length / 3;
    const parts: Parts = { partOf: new Int32Array(vertices), sets: new UnionFind(vertices + 1), count: 0 };
    const sums = new Int32Array(2);
    inBatches(triangles.length, (from, to) => addTriangles(triangles, from, to, parts, sums), 3);
    known = { isBalanced: sums[0] === 0 && sums[1] === 0, isOneShell: isOneSet(parts) };
    answers.set(triangles, known);
  }
  return known;
}

/** Turned triangles are a new array. */
const answers = new WeakMap<Uint32Array, Coherence>();

interface Parts {
  /** Per vertex the number of its part, from 1; 0: not met yet. */
  readonly partOf: Int32Array;
  /** The parts that have met. */
  readonly sets: UnionFind;
  count: number;
}

/** @param sums two for the balance */
function addTriangles(triangles: Uint32Array, from: number, to: number, parts: Parts, sums: Int32Array): void {
  const { partOf } = parts;
  let first = sums[0]!;
  let second = sums[1]!;
  for (let t = from; t < to; t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    for (let k = 0; k < 3; k++) {
      const tail = k === 0 ? a : k === 1 ? b : c;
      const head = k === 0 ? b : k === 1 ? c : a;
      const isUp = tail < head;
      const low = isUp ? tail : head;
      const high = isUp ? head : tail;
      let x = Math.imul(low, 0x9e3779b1) ^ Math.imul(high + 0x7f4a7c15, 0x85ebca6b);
      x = Math.imul(x ^ (x >>> 16), 0x21f0aaad);
      x ^= x >>> 15;
      let y = Math.imul(low + 0x165667b1, 0xc2b2ae35) ^ Math.imul(high, 0x27d4eb2f);
      y = Math.imul(y ^ (y >>> 15), 0x735a2d97);
      y ^= y >>> 15;
      first = (first + (isUp ? x : -x)) | 0;
      second = (second + (isUp ? y : -y)) | 0;
    }
    const pa = partOf[a]!;
    const pb = partOf[b]!;
    const pc = partOf[c]!;
    if (pa !== pb || pb !== pc || pa === 0) meet(parts, a, b, c);
  }
  sums[0] = first;
  sums[1] = second;
}

/** The corners of a triangle become of one set. */
function meet(parts: Parts, a: number, b: number, c: number): void {
  const { partOf, sets } = parts;
  const own = partOf[a]! || partOf[b]! || partOf[c]! || ++parts.count;
  for (let k = 0; k < 3; k++) {
    const v = k === 0 ? a : k === 1 ? b : c;
    const part = partOf[v]!;
    if (part === 0) partOf[v] = own;
    else if (part !== own) sets.union(part, own);
  }
}

function isOneSet({ sets, count }: Parts): boolean {
  for (let part = 2; part <= count; part++) if (sets.find(part) !== sets.find(1)) return false;
  return true;
}
