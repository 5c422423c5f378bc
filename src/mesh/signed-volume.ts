import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from './triangle-mesh.js';

/** Six times the volume that a closed mesh holds, seen from its first point. */
export function signedVolume({ positions, triangles }: TriangleMesh): number {
  let sum = 0;
  inBatches(
    triangles.length,
    (from, to) => {
      sum = addVolume(positions, triangles, from, to, sum);
    },
    3,
  );
  return sum;
}

function addVolume(p: Float64Array, triangles: Uint32Array, from: number, to: number, before: number): number {
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  let sum = before;
  for (let t = from; t < to; t += 3) {
    const a = 3 * triangles[t]!;
    const b = 3 * triangles[t + 1]!;
    const c = 3 * triangles[t + 2]!;
    const ax = p[a]! - x;
    const ay = p[a + 1]! - y;
    const az = p[a + 2]! - z;
    const bx = p[b]! - x;
    const by = p[b + 1]! - y;
    const bz = p[b + 2]! - z;
    const cx = p[c]! - x;
    const cy = p[c + 1]! - y;
    const cz = p[c + 2]! - z;
    sum += ax * (by * cz - bz * cy) - ay * (bx * cz - bz * cx) + az * (bx * cy - by * cx);
  }
  return sum;
}
