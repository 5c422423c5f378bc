import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from './triangle-mesh.js';

/** How the triangles of a mesh hang together, as far as their corners alone tell it. */
export interface Coherence {
  /** Has every half-edge as many opposite ones as there are of itself, so that all can be paired? */
  readonly isBalanced: boolean;
  /** Is all of it one shell: triangles that hang together by shared vertices? */
  readonly isOneShell: boolean;
}

/**
 * Told in one pass, without pairing half-edges and without sets of vertices. For the balance a number is drawn
 * for each edge from both its vertices, and added in one direction and subtracted in the other: sums that cancel by chance
 * have odds of one to 2^64. For the shells parts grow from triangle to triangle, and only where parts meet they are
 * joined. Asked of a large mesh more than once: the answer is kept.
 */
export function coherenceOf({ positions, triangles }: TriangleMesh): Coherence {
  let known = answers.get(triangles);
  if (known === undefined) {
    const vertices = positions.length / 3;
    const parts = { partOf: new Int32Array(vertices), leader: new Int32Array(vertices + 1) };
    const sums = new Int32Array(3);
    inBatches(triangles.length, (from, to) => addTriangles(triangles, from, to, parts, sums), 3);
    known = { isBalanced: sums[0] === 0 && sums[1] === 0, isOneShell: sums[2]! <= 1 };
    answers.set(triangles, known);
  }
  return known;
}

/** Turned triangles are a new array. */
const answers = new WeakMap<Uint32Array, Coherence>();

interface Parts {
  /** Per vertex the number of its part, from 1; 0: not met yet. */
  readonly partOf: Int32Array;
  /** Per part another one of its set, or itself; place 0 counts the parts. */
  readonly leader: Int32Array;
}

/** @param sums two for the balance, and how many sets of parts there are */
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
    if (pa !== pb || pb !== pc || pa === 0) meet(parts, a, b, c, sums);
  }
  sums[0] = first;
  sums[1] = second;
}

/** The corners of a triangle become of one set. */
function meet({ partOf, leader }: Parts, a: number, b: number, c: number, sums: Int32Array): void {
  let own = partOf[a]! || partOf[b]! || partOf[c]!;
  if (own === 0) {
    own = ++leader[0]!;
    leader[own] = own;
    sums[2]!++;
  }
  for (let k = 0; k < 3; k++) {
    const v = k === 0 ? a : k === 1 ? b : c;
    const part = partOf[v]!;
    if (part === 0) partOf[v] = own;
    else if (part !== own) join(leader, part, own, sums);
  }
}

function join(leader: Int32Array, one: number, other: number, sums: Int32Array): void {
  const first = leaderOf(leader, one);
  const second = leaderOf(leader, other);
  if (first === second) return;
  leader[Math.max(first, second)] = Math.min(first, second);
  sums[2]!--;
}

function leaderOf(leader: Int32Array, part: number): number {
  let at = part;
  while (leader[at] !== at) at = leader[at] = leader[leader[at]!]!;
  return at;
}
