/**
 * A triangle mesh with shared vertices.
 *
 * Vertices that lie at bitwise equal coordinates are one vertex. Triangles run counter-clockwise seen from the side
 * their surface faces: out of a mould's solid, or out of a scanned surface towards the scanner.
 */
export interface TriangleMesh {
  /** x, y, z per vertex: stride 3, float64. */
  readonly positions: Float64Array;
  /** Three vertex indices per triangle: stride 3. */
  readonly triangles: Uint32Array;
  /** Names of the objects or groups of the file, where it has any. */
  readonly objectNames?: readonly string[];
  /** Per triangle, an index into `objectNames`. */
  readonly objectOf?: Uint32Array;
}

export function triangleCount(mesh: TriangleMesh): number {
  return mesh.triangles.length / 3;
}

export function vertexCount(mesh: TriangleMesh): number {
  return mesh.positions.length / 3;
}

/** Sides of the upright box round all points (stride 3), along x, y and z. */
export function boxSides(positions: Float64Array): [number, number, number] {
  const side = (axis: number): number => {
    let low = Infinity;
    let high = -Infinity;
    for (let i = axis; i < positions.length; i += 3) {
      const value = positions[i]!;
      if (value < low) low = value;
      if (value > high) high = value;
    }
    return high - low;
  };
  return [side(0), side(1), side(2)];
}
