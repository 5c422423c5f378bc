import type { TriangleMesh } from './triangle-mesh.js';

/** The cross product of triangle t's sides (twice its vector area) goes into `out`; returns the area, in the mesh's unit squared. */
export function triangleNormal({ positions: p, triangles }: TriangleMesh, t: number, out: Float64Array): number {
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  out[0] = x;
  out[1] = y;
  out[2] = z;
  return Math.sqrt(x * x + y * y + z * z) / 2;
}

const unused = new Float64Array(3);

/** Area of triangle t, in the square of the mesh's unit. */
export const triangleArea = (mesh: TriangleMesh, t: number): number => triangleNormal(mesh, t, unused);
