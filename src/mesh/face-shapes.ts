import { inBatches } from '../base/batches.js';
import { squaredSide } from './triangle-area.js';
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

/** Marks the vertices of some triangles. @returns how many of them are slivers */
function lookAt(mesh: TriangleMesh, from: number, to: number, seen: Uint8Array): number {
  const { positions: p, triangles } = mesh;
  let slivers = 0;
  for (let t = from; t < to; t++) {
    const a = triangles[3 * t]!;
    const b = triangles[3 * t + 1]!;
    const c = triangles[3 * t + 2]!;
    const ab = squaredSide(p, a, b);
    const bc = squaredSide(p, b, c);
    const ca = squaredSide(p, c, a);
    seen[a]! |= shapeAt(ab, ca, bc);
    seen[b]! |= shapeAt(bc, ab, ca);
    seen[c]! |= shapeAt(ca, bc, ab);
    // Twice the area is the longest side times the width; 16 times its square by Heron's formula.
    const longest = Math.max(ab, bc, ca);
    if (4 * ab * ca - (ab + ca - bc) ** 2 < 4 * (sliver * longest) ** 2) slivers++;
  }
  return slivers;
}

/** From the squares of the spokes at a vertex and of the side across. */
function shapeAt(one: number, two: number, across: number): number {
  const least = Math.min(one, two);
  return least > sharp * sharp * across ? isSharp : across < long * long * least ? isBlunt : 0;
}
