import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { UnionFind } from '../mesh/union-find.js';

/** A hollow is deeper than this or than three times the noise, whichever is more, mm (common practice, no source). */
const leastDepthMm = 0.15;

export function depthLimitMm(noiseMm: number): number {
  return Math.max(leastDepthMm, 3 * noiseMm);
}

/**
 * Labels the connected parts of the surface that lie deeper than a limit. Parts that only a shallower saddle joins are
 * separate.
 * @param z height of each vertex over the scrape surface
 * @returns per vertex 0, or the number of its part, 1 … count
 */
export function deepParts(mesh: TriangleMesh, z: Float64Array, limitMm: number): { labels: Int32Array; count: number } {
  const { triangles } = mesh;
  const sets = new UnionFind(z.length);
  const deep = -limitMm;
  inBatches(triangles.length, (from, to) => unite(sets, triangles, z, deep, from, to), 3);
  const labels = new Int32Array(z.length);
  let count = 0;
  for (let v = 0; v < z.length; v++) {
    if (z[v]! >= deep) continue;
    const root = sets.find(v);
    labels[v] = root === v ? ++count : labels[root]!;
  }
  return { labels, count };
}

/** Puts corners of a triangle together that are both deep. */
function unite(sets: UnionFind, triangles: Uint32Array, z: Float64Array, deep: number, from: number, to: number): void {
  for (let t = from; t < to; t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    const da = z[a]! < deep;
    const db = z[b]! < deep;
    const dc = z[c]! < deep;
    if (da && db) sets.union(a, b);
    if (db && dc) sets.union(b, c);
    if (dc && da) sets.union(c, a);
  }
}
