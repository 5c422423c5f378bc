import { nextHalfEdge } from './half-edges.js';
import type { TriangleMesh } from './triangle-mesh.js';
import { UnionFind } from './union-find.js';

/**
 * Joins vertices of open edges that lie within a tolerance of each other, so that cracks close. Vertices of one triangle
 * are never joined.
 * @param opposite the mesh's half-edges
 * @returns the mesh with its triangles' corners renamed (a vertex that was joined to another is used no more), and how
 * many were; null where there is nothing to join
 */
export function weldCracks(
  mesh: TriangleMesh,
  opposite: Int32Array,
  toleranceMm: number,
): { mesh: TriangleMesh; joined: number } | null {
  const { positions: p, triangles } = mesh;
  const onBorder = new Uint8Array(p.length / 3);
  for (let h = 0; h < opposite.length; h++) {
    if (opposite[h]! >= 0) continue;
    onBorder[triangles[h]!] = 1;
    onBorder[triangles[nextHalfEdge(h)]!] = 1;
  }
  const cells = new Map<string, number[]>();
  const sets = new UnionFind(onBorder.length);
  let joined = 0;
  const cell = (v: number, k: number) => Math.floor(p[3 * v + k]! / toleranceMm);
  for (let v = 0; v < onBorder.length; v++) {
    if (onBorder[v] === 0) continue;
    const [i, j, k] = [cell(v, 0), cell(v, 1), cell(v, 2)];
    for (let n = 0; n < 27; n++) {
      for (const w of cells.get(`${i + (n % 3) - 1} ${j + (Math.floor(n / 3) % 3) - 1} ${k + Math.floor(n / 9) - 1}`) ??
        []) {
        const distance = Math.hypot(
          p[3 * v]! - p[3 * w]!,
          p[3 * v + 1]! - p[3 * w + 1]!,
          p[3 * v + 2]! - p[3 * w + 2]!,
        );
        if (distance > toleranceMm || sets.find(v) === sets.find(w)) continue;
        sets.union(v, w);
        joined++;
      }
    }
    const key = `${i} ${j} ${k}`;
    const own = cells.get(key);
    if (own === undefined) cells.set(key, [v]);
    else own.push(v);
  }
  if (joined === 0) return null;
  const renamed = triangles.map((v) => sets.find(v));
  // A triangle that would collapse is smaller than the tolerance: its corners keep their own vertices.
  for (let t = 0; t < renamed.length; t += 3) {
    const [a, b, c] = [renamed[t]!, renamed[t + 1]!, renamed[t + 2]!];
    if (a === b || b === c || c === a) renamed.set(triangles.subarray(t, t + 3), t);
  }
  return { mesh: { ...mesh, triangles: renamed }, joined };
}
