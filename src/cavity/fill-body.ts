/**
 * The closed solid that the silicone occupies in one cavity: under the scrape surface z = 0, inside the cavity, in the
 * plate frame (mm). Built from the denoised wall, cut at z = 0 by manifold booleans.
 */
export interface FillBody {
  /** x, y, z per vertex: stride 3. */
  readonly positions: Float64Array;
  /**
   * Three vertex indices per triangle, counter-clockwise seen from outside the body. The first `wallTriangles`
   * triangles are the wall of the mould; the rest lie in z = 0 and are the opening.
   */
  readonly triangles: Uint32Array;
  readonly wallTriangles: number;
  /**
   * The rim in plan: one closed loop an entry, x, y per point (stride 2), the first point not repeated. Seen from above
   * outer loops run counter-clockwise, loops round islands clockwise.
   */
  readonly rimLoops: readonly Float64Array[];
  /** Standard deviation of the vertex noise that was taken out of the wall, mm; 0 on a clean mesh. */
  readonly noiseMm: number;
}
