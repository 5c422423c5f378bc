import type { ThicknessMap } from './thickness.js';
import { UnionFind } from './union-find.js';

/**
 * Connected patches of the faces that pass a test. Faces are connected over a common edge, and through the body where
 * one stops the other's ball: the two sides of a thin web are one patch.
 */
export function facePatches(map: ThicknessMap, passes: (face: number) => boolean): number[][] {
  const { triangles, partOf, stoppedBy } = map;
  const chosen: number[] = [];
  for (let f = 0; f < partOf.length; f++) if (passes(f)) chosen.push(f);
  if (chosen.length === 0) return [];

  const sets = new UnionFind(chosen.length);
  const byEdge = new Map<number, number>();
  const byTriangle = new Map<number, number>();
  const vertices = map.positions.length / 3;
  chosen.forEach((f, k) => {
    for (let corner = 0; corner < 3; corner++) {
      const a = triangles[3 * f + corner]!;
      const b = triangles[3 * f + ((corner + 1) % 3)]!;
      const edge = Math.min(a, b) * vertices + Math.max(a, b);
      const other = byEdge.get(edge);
      if (other === undefined) byEdge.set(edge, k);
      else sets.join(k, other);
    }
    byTriangle.set(partOf[f]!, k);
  });
  chosen.forEach((f, k) => {
    const across = byTriangle.get(stoppedBy[f]!);
    if (across !== undefined) sets.join(k, across);
  });
  const patches = new Map<number, number[]>();
  chosen.forEach((f, k) => {
    const root = sets.find(k);
    const patch = patches.get(root);
    if (patch === undefined) patches.set(root, [f]);
    else patch.push(f);
  });
  return [...patches.values()];
}
