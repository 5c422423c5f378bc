import { inBatches } from '../base/batches.js';

/**
 * Pairs of half-edges. Half-edge 3 t + k runs from corner k of triangle t to its next corner.
 * @param triangles three vertex indices a triangle, vertices numbered 0 … vertexCount - 1
 * @returns per half-edge the opposite one, or -1 where there is none left to pair with (an open border, or an edge with
 * more than two triangles)
 */
export function oppositeHalfEdges(triangles: Uint32Array, vertexCount: number): Int32Array {
  const count = triangles.length;
  const opposite = new Int32Array(count).fill(-1);
  const lists = { head: new Int32Array(vertexCount).fill(-1), next: new Int32Array(count) };
  inBatches(count, (from, to) => pairUp(triangles, from, to, lists, opposite));
  return opposite;
}

/** Half-edges without a partner yet, in lists by their lower vertex. */
interface Lists {
  readonly head: Int32Array;
  readonly next: Int32Array;
}

function pairUp(triangles: Uint32Array, first: number, end: number, { head, next }: Lists, opposite: Int32Array): void {
  for (let h = first; h < end; h++) {
    const from = triangles[h]!;
    const to = triangles[h % 3 === 2 ? h - 2 : h + 1]!;
    const low = Math.min(from, to);
    const high = Math.max(from, to);
    let before = -1;
    let found = -1;
    for (let other = head[low]!; other >= 0; other = next[other]!) {
      const otherFrom = triangles[other]!;
      const otherTo = triangles[other % 3 === 2 ? other - 2 : other + 1]!;
      if (Math.max(otherFrom, otherTo) === high && otherFrom === to && otherTo === from) {
        found = other;
        break;
      }
      before = other;
    }
    if (found >= 0) {
      opposite[h] = found;
      opposite[found] = h;
      if (before < 0) head[low] = next[found]!;
      else next[before] = next[found]!;
    } else {
      next[h] = head[low]!;
      head[low] = h;
    }
  }
}

export function nextHalfEdge(h: number): number {
  return h % 3 === 2 ? h - 2 : h + 1;
}

export function previousHalfEdge(h: number): number {
  return h % 3 === 0 ? h + 2 : h - 1;
}
