import type { TriangleMesh } from './triangle-mesh.js';

/** How many triangles are over a thousand times as long as they are wide. */
export function sliverCount({ positions: p, triangles }: TriangleMesh): number {
  let count = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]!;
    const b = 3 * triangles[t + 1]!;
    const c = 3 * triangles[t + 2]!;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const one = ux * ux + uy * uy + uz * uz;
    const two = vx * vx + vy * vy + vz * vz;
    const three = one + two - 2 * (ux * vx + uy * vy + uz * vz);
    const longest = Math.max(one, two, three);
    // Twice the area is the longest side times the width.
    if (nx * nx + ny * ny + nz * nz < 1e-6 * longest * longest) count++;
  }
  return count;
}
