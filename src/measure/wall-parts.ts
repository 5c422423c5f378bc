import type { TriangleTree } from './triangle-tree.js';
import type { FacesRound } from './wall-normals.js';

/** What a wall index is made of: flat arrays, which threads can share. */
export interface WallParts extends FacesRound {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly tree: TriangleTree;
  /** As `FacingCones` says; only balls that facing wall stops ask for them. */
  readonly cones: Float64Array;
  /** Inward unit normals of the wall triangles. */
  readonly normals: Float64Array;
}
