import { squaredSide, triangleArea } from './triangle-area.js';
import type { TriangleMesh } from './triangle-mesh.js';

/** How many triangles are over a thousand times as long as they are wide. */
export function sliverCount(mesh: TriangleMesh): number {
  const { positions: p, triangles } = mesh;
  let count = 0;
  for (let t = 0; t < triangles.length / 3; t++) {
    const a = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    const longest = Math.max(squaredSide(p, a, b), squaredSide(p, b, c), squaredSide(p, c, a));
    // Twice the area is the longest side times the width.
    if (2 * triangleArea(mesh, t) < 1e-3 * longest) count++;
  }
  return count;
}
