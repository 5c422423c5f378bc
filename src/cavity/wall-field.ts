/**
 * The wall as it counts for the cavities: per vertex a height over the scrape surface and the hollow it belongs to.
 * Where the height is negative the vertex lies under the scrape surface; the rim is where it passes zero.
 */
export interface WallField {
  /** Height of each vertex with the noise taken out, mm. Exactly 0 on a clean land. */
  readonly z: Float64Array;
  /** The same, smoothed so much that the deepest point can be read off it. */
  readonly calm: Float64Array;
  /** Per vertex the number of its hollow, or 0. Vertices beyond the rim that its height was extrapolated to have one too. */
  readonly labels: Int32Array;
  readonly count: number;
  /** Standard deviation of the noise that was taken out, mm; 0 on a clean mesh. */
  readonly noiseMm: number;
  /** Per vertex whether the volume integral reaches it: under the scrape surface, or close outside the rim under noise. */
  readonly reach: Int32Array;
  /**
   * Height of `calm` from which a vertex stands out of the scrape surface, mm. A hollow's own surface may go on over it where
   * a piece is sunk into a board as a shell of its own: the integral ends there. null: a mesh of one shell, which does not.
   */
  readonly standsOutMm: number | null;
}
