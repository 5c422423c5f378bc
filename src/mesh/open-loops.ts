import { nextHalfEdge } from './half-edges.js';

/**
 * The borders of a surface as simple loops of vertices, in the direction of the triangles' own half-edges. Where borders
 * touch in a vertex they are parted there.
 * @param opposite the mesh's half-edges
 */
export function openLoops(triangles: Uint32Array, opposite: Int32Array): Uint32Array[] {
  const from = new Map<number, number[]>();
  for (let h = 0; h < opposite.length; h++) {
    if (opposite[h]! >= 0) continue;
    const list = from.get(triangles[h]!);
    if (list === undefined) from.set(triangles[h]!, [h]);
    else list.push(h);
  }
  const loops: Uint32Array[] = [];
  for (const first of from.keys()) {
    const path: number[] = [];
    const placeOf = new Map<number, number>();
    for (let v = first; ; ) {
      const seen = placeOf.get(v);
      if (seen !== undefined) {
        const loop = path.splice(seen);
        for (const w of loop) placeOf.delete(w);
        if (loop.length >= 3) loops.push(Uint32Array.from(loop));
      }
      const h = from.get(v)?.pop();
      if (h === undefined) break;
      placeOf.set(v, path.length);
      path.push(v);
      v = triangles[nextHalfEdge(h)]!;
    }
  }
  return loops;
}
