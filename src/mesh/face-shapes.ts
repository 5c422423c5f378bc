import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from './triangle-mesh.js';

/** What the shapes of a mesh's triangles tell, in one pass over them. */
export interface FaceShapes {
  /** Vertices at which some triangle is sharp and none is blunt: few of any mesh. */
  readonly tips: readonly number[];
  /** How many triangles are over a thousand times as long as they are wide. */
  readonly slivers: number;
}

/** A triangle is sharp at a vertex where both its spokes are longer than the side across by this. */
const sharp = 1.1;
/** One whose spokes are all of this many times the side across says nothing of the place where it begins. */
const long = 3;
const sliver = 1e-3;

export function faceShapes(mesh: TriangleMesh): FaceShapes {
  const seen = new Uint8Array(mesh.positions.length / 3);
  let slivers = 0;
  inBatches(mesh.triangles.length / 3, (from, to) => {
    slivers += lookAt(mesh, from, to, seen);
  });
  const tips: number[] = [];
  for (let v = 0; v < seen.length; v++) if (seen[v] === isSharp) tips.push(v);
  return { tips, slivers };
}

const isSharp = 1;
const isBlunt = 2;

/** Marks the vertices of some triangles. One plain loop, since every triangle comes by here. @returns how many are slivers */
function lookAt({ positions: p, triangles }: TriangleMesh, from: number, to: number, seen: Uint8Array): number {
  let slivers = 0;
  for (let t = 3 * from; t < 3 * to; t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    const ax = p[3 * a]!;
    const ay = p[3 * a + 1]!;
    const az = p[3 * a + 2]!;
    const bx = p[3 * b]!;
    const by = p[3 * b + 1]!;
    const bz = p[3 * b + 2]!;
    const cx = p[3 * c]!;
    const cy = p[3 * c + 1]!;
    const cz = p[3 * c + 2]!;
    const ab = (bx - ax) * (bx - ax) + (by - ay) * (by - ay) + (bz - az) * (bz - az);
    const bc = (cx - bx) * (cx - bx) + (cy - by) * (cy - by) + (cz - bz) * (cz - bz);
    const ca = (ax - cx) * (ax - cx) + (ay - cy) * (ay - cy) + (az - cz) * (az - cz);
    // At each corner the shorter of its spokes tells, against the side across; all squared.
    const atA = Math.min(ab, ca);
    const atB = Math.min(ab, bc);
    const atC = Math.min(bc, ca);
    seen[a]! |= atA > sharp * sharp * bc ? isSharp : bc < long * long * atA ? isBlunt : 0;
    seen[b]! |= atB > sharp * sharp * ca ? isSharp : ca < long * long * atB ? isBlunt : 0;
    seen[c]! |= atC > sharp * sharp * ab ? isSharp : ab < long * long * atC ? isBlunt : 0;
    // Twice the area is the longest side times the width; 16 times its square by Heron's formula.
    const longest = Math.max(ab, bc, ca);
    const over = ab + ca - bc;
    if (4 * ab * ca - over * over < 4 * sliver * sliver * longest * longest) slivers++;
  }
  return slivers;
}
