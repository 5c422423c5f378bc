import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from './triangle-mesh.js';

/** Which triangles of a mesh stay when those that hold nothing or come twice are left out. */
export interface SoundTriangles {
  /** Per triangle: 1 where it stays. */
  readonly stays: Uint8Array;
  /** Triangles two of whose corners are one vertex. */
  readonly collapsed: number;
  /** The triangle that stays of each pair over the same three vertices, one entry a triangle left out. */
  readonly doubles: readonly { readonly kept: number; readonly sameWay: boolean }[];
}

/** Looks for collapsed and doubled triangles in one pass; null where there are none. */
export function soundTriangles({ positions, triangles }: TriangleMesh): SoundTriangles | null {
  const count = triangles.length / 3;
  const lists = { head: new Int32Array(positions.length / 3).fill(-1), next: new Int32Array(count) };
  const unsound: number[] = [];
  inBatches(count, (from, to) => findUnsound(triangles, from, to, lists, unsound));
  if (unsound.length === 0) return null;
  const stays = new Uint8Array(count).fill(1);
  const doubles: { kept: number; sameWay: boolean }[] = [];
  for (let i = 0; i < unsound.length; i += 2) {
    const t = unsound[i]!;
    const kept = unsound[i + 1]!;
    stays[t] = 0;
    if (kept < 0) continue;
    const first = triangles[3 * t]!;
    doubles.push({ kept, sameWay: onward(triangles, kept, first) === triangles[3 * t + 1] });
  }
  return { stays, collapsed: unsound.length / 2 - doubles.length, doubles };
}

/** Triangles in lists by their lowest vertex: two over the same vertices meet in one list. */
interface Lists {
  readonly head: Int32Array;
  readonly next: Int32Array;
}

/** Enters some triangles. Those that are not sound go to `unsound`: a triangle, and its twin or -1. */
function findUnsound(triangles: Uint32Array, from: number, to: number, { head, next }: Lists, unsound: number[]): void {
  for (let t = from; t < to; t++) {
    const a = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    if (a === b || b === c || c === a) {
      unsound.push(t, -1);
      continue;
    }
    const low = Math.min(a, b, c);
    const high = Math.max(a, b, c);
    const middle = a + b + c - low - high;
    let twin = head[low]!;
    while (twin >= 0) {
      const x = triangles[3 * twin]!;
      const y = triangles[3 * twin + 1]!;
      const z = triangles[3 * twin + 2]!;
      if (Math.max(x, y, z) === high && x + y + z - low - high === middle) break;
      twin = next[twin]!;
    }
    if (twin >= 0) {
      unsound.push(t, twin);
      continue;
    }
    next[t] = head[low]!;
    head[low] = t;
  }
}

/** The corner that follows a vertex in a triangle. */
function onward(triangles: Uint32Array, t: number, v: number): number {
  for (let k = 0; k < 3; k++) if (triangles[3 * t + k] === v) return triangles[3 * t + ((k + 1) % 3)]!;
  return -1;
}

/** The triangles that stay, as a mesh over the same vertices; and per old triangle its new number, or -1. */
export function keepTriangles(mesh: TriangleMesh, stays: Uint8Array): { mesh: TriangleMesh; number: Int32Array } {
  const number = new Int32Array(stays.length).fill(-1);
  let kept = 0;
  for (let t = 0; t < stays.length; t++) if (stays[t] === 1) number[t] = kept++;
  const triangles = new Uint32Array(3 * kept);
  const objectOf = mesh.objectOf === undefined ? undefined : new Uint32Array(kept);
  for (let t = 0; t < stays.length; t++) {
    const to = number[t]!;
    if (to < 0) continue;
    for (let k = 0; k < 3; k++) triangles[3 * to + k] = mesh.triangles[3 * t + k]!;
    if (objectOf !== undefined) objectOf[to] = mesh.objectOf![t]!;
  }
  return { mesh: { ...mesh, triangles, ...(objectOf && { objectOf }) }, number };
}
