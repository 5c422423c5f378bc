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
  // Triangles in lists by their lowest vertex: two over the same vertices meet in one list.
  const head = new Int32Array(positions.length / 3).fill(-1);
  const next = new Int32Array(count);
  let stays: Uint8Array | null = null;
  let collapsed = 0;
  const doubles: { kept: number; sameWay: boolean }[] = [];
  const drop = (t: number) => {
    stays ??= new Uint8Array(count).fill(1);
    stays[t] = 0;
  };
  for (let t = 0; t < count; t++) {
    const a = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    if (a === b || b === c || c === a) {
      collapsed++;
      drop(t);
      continue;
    }
    // Turned so that the lowest vertex comes first, which keeps the turning sense.
    const low = Math.min(a, b, c);
    const second = low === a ? b : low === b ? c : a;
    const third = low === a ? c : low === b ? a : b;
    let twin = head[low]!;
    for (; twin >= 0; twin = next[twin]!) {
      const x = triangles[3 * twin]!;
      const y = triangles[3 * twin + 1]!;
      const z = triangles[3 * twin + 2]!;
      const s = x === low ? y : y === low ? z : x;
      const r = x === low ? z : y === low ? x : y;
      if (s === second && r === third) break;
      if (s === third && r === second) break;
    }
    if (twin < 0) {
      next[t] = head[low]!;
      head[low] = t;
      continue;
    }
    const sameWay = onward(triangles, twin, low) === second;
    doubles.push({ kept: twin, sameWay });
    drop(t);
  }
  return stays === null ? null : { stays, collapsed, doubles };
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
