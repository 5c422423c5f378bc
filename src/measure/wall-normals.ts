/**
 * Unit normals of faces, pointing into the body: three numbers per face.
 *
 * @param positions x, y, z per vertex
 * @param triangles counter-clockwise seen from outside; the first `count` are taken
 * @param rounds how often each normal is replaced by the area-weighted mean over the faces that share a corner with it
 * @param alikeDeg faces turned farther from each other lie across an edge of the form and are not averaged
 */
export function inwardNormals(
  positions: Float64Array,
  triangles: Uint32Array,
  count: number,
  rounds: number,
  alikeDeg = 0,
): Float64Array {
  const cosAlike = Math.cos((alikeDeg * Math.PI) / 180);
  let normals = new Float64Array(3 * count);
  const areas = new Float64Array(count);
  for (let f = 0; f < count; f++) {
    const a = 3 * triangles[3 * f]!;
    const b = 3 * triangles[3 * f + 1]!;
    const c = 3 * triangles[3 * f + 2]!;
    const ux = positions[b]! - positions[a]!;
    const uy = positions[b + 1]! - positions[a + 1]!;
    const uz = positions[b + 2]! - positions[a + 2]!;
    const vx = positions[c]! - positions[a]!;
    const vy = positions[c + 1]! - positions[a + 1]!;
    const vz = positions[c + 2]! - positions[a + 2]!;
    setUnit(normals, f, uz * vy - uy * vz, ux * vz - uz * vx, uy * vx - ux * vy);
    areas[f] = Math.hypot(uz * vy - uy * vz, ux * vz - uz * vx, uy * vx - ux * vy) / 2;
  }
  if (rounds === 0) return normals;

  const { starts, faces } = facesAtVertices(triangles, count, positions.length / 3);
  for (let round = 0; round < rounds; round++) {
    const next = new Float64Array(3 * count);
    for (let f = 0; f < count; f++) {
      let x = 0;
      let y = 0;
      let z = 0;
      for (let corner = 0; corner < 3; corner++) {
        const vertex = triangles[3 * f + corner]!;
        for (let k = starts[vertex]!; k < starts[vertex + 1]!; k++) {
          const g = faces[k]!;
          const like =
            normals[3 * f]! * normals[3 * g]! +
            normals[3 * f + 1]! * normals[3 * g + 1]! +
            normals[3 * f + 2]! * normals[3 * g + 2]!;
          if (like <= cosAlike) continue;
          const weight = areas[g]! * (like - cosAlike);
          x += weight * normals[3 * g]!;
          y += weight * normals[3 * g + 1]!;
          z += weight * normals[3 * g + 2]!;
        }
      }
      setUnit(next, f, x, y, z);
    }
    normals = next;
  }
  return normals;
}

/** Faces round each vertex: those of vertex v are `faces[starts[v]]` up to `faces[starts[v + 1] - 1]`. */
export function facesAtVertices(
  triangles: Uint32Array,
  count: number,
  vertices: number,
): { starts: Uint32Array; faces: Uint32Array } {
  const starts = new Uint32Array(vertices + 1);
  for (let i = 0; i < 3 * count; i++) starts[triangles[i]! + 1]!++;
  for (let v = 0; v < vertices; v++) starts[v + 1]! += starts[v]!;
  const fill = starts.slice();
  const faces = new Uint32Array(3 * count);
  for (let i = 0; i < 3 * count; i++) faces[fill[triangles[i]!]!++] = Math.floor(i / 3);
  return { starts, faces };
}

function setUnit(normals: Float64Array, f: number, x: number, y: number, z: number): void {
  const length = Math.hypot(x, y, z);
  if (length === 0) return;
  normals[3 * f] = x / length;
  normals[3 * f + 1] = y / length;
  normals[3 * f + 2] = z / length;
}
