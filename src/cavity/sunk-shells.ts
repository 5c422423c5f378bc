import { shellOfVertices } from '../mesh/shells.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** The shells of a mesh of more than one. */
export interface Shells {
  /** Per vertex the number of its shell. */
  readonly of: Int32Array;
  /** Per vertex 1 where its shell is a piece that is sunk into the board: its own wall goes on over the scrape surface. */
  readonly isSunk: Uint8Array;
}

/**
 * Tells pieces that are sunk into a board from the board and from what lies on the scrape surface: they are shells of their
 * own, stand out of it, and have less land than the board.
 * @param calm smoothed heights
 * @param limitMm what stands out by more is no noise
 * @returns null where the mesh is one shell
 */
export function sunkShells(mesh: TriangleMesh, calm: Float64Array, limitMm: number): Shells | null {
  const of = shellOfVertices(mesh);
  if (of === null) return null;
  const land = new Float64Array(of.length);
  const standsOut = new Uint8Array(of.length);
  for (let v = 0; v < of.length; v++) if (calm[v]! > limitMm) standsOut[of[v]!] = 1;
  const { positions: p, triangles } = mesh;
  let board = of[0]!;
  for (let t = 0; t < triangles.length; t += 3) {
    const [va, vb, vc] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    if (Math.max(Math.abs(calm[va]!), Math.abs(calm[vb]!), Math.abs(calm[vc]!)) > limitMm) continue;
    const [a, b, c] = [3 * va, 3 * vb, 3 * vc];
    const area = (p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!);
    if (!(area > 0)) continue;
    const shell = of[va]!;
    land[shell]! += area;
    if (land[shell]! > land[board]!) board = shell;
  }
  const isSunk = Uint8Array.from(of, (shell) => (shell !== board && standsOut[shell] === 1 ? 1 : 0));
  return { of, isSunk };
}
