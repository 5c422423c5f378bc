import { type PieceWork, rangeOf } from './pieces.js';
import { WallIndex } from './wall-index.js';
import type { WallParts } from './wall-parts.js';

/** Faces that are done in one go. Each chunk starts afresh, so that its answers are the same whoever does it. */
export const chunkFaces = 1024;

/** The thickness over a wall, to be taken by one thread or by several: flat arrays, in shared memory for several. */
export interface ThicknessTask {
  readonly wall: WallParts;
  /** No ball is larger than this, mm. */
  readonly mostMm: number;
  /** The faces to sample: vertices, three of them a face, and the wall triangle that each face is a part of. */
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly partOf: Uint32Array;
  /** Per face, to be filled in: thickness, and the wall triangle that stops its ball, -1 where none does. */
  readonly thicknessMm: Float64Array;
  readonly stoppedBy: Int32Array;
}

export const thicknessPieces: PieceWork<ThicknessTask, { task: ThicknessTask; wall: WallIndex }> = {
  name: 'thickness',
  open: (task) => ({ task, wall: new WallIndex(task.wall) }),
  take({ task, wall }, piece) {
    const { positions, triangles, partOf, thicknessMm, stoppedBy, mostMm } = task;
    const { normals } = task.wall;
    const [from, to] = rangeOf(piece, chunkFaces, partOf.length);
    wall.forget();
    for (let f = from; f < to; f++) {
      const a = 3 * triangles[3 * f]!;
      const b = 3 * triangles[3 * f + 1]!;
      const c = 3 * triangles[3 * f + 2]!;
      const x = (positions[a]! + positions[b]! + positions[c]!) / 3;
      const y = (positions[a + 1]! + positions[b + 1]! + positions[c + 1]!) / 3;
      const z = (positions[a + 2]! + positions[b + 2]! + positions[c + 2]!) / 3;
      const n = 3 * partOf[f]!;
      const t = thicknessUnder(wall, mostMm, x, y, z, normals[n]!, normals[n + 1]!, normals[n + 2]!);
      thicknessMm[f] = t;
      stoppedBy[f] = t > 0 ? wall.foundTriangle : -1;
    }
  },
};

/**
 * Thickness at a wall point with the inward unit normal n: the ball that touches the wall there and the scrape surface
 * has the diameter -2z/(1 + n.z); wall that faces the point may stop it earlier, and no ball is larger than the largest
 * that fits.
 */
export function thicknessUnder(
  wall: WallIndex,
  mostMm: number,
  x: number,
  y: number,
  z: number,
  nx: number,
  ny: number,
  nz: number,
): number {
  const underSurface = 1 + nz > 1e-12 ? (-2 * z) / (1 + nz) : Infinity;
  const atMost = Math.min(underSurface, mostMm);
  return atMost > 0 ? wall.ballToFacingWall(x, y, z, nx, ny, nz, atMost) : 0;
}
