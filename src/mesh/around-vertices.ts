import type { TriangleMesh } from './triangle-mesh.js';

/** The triangles round each vertex. */
export function aroundVertices({ positions, triangles }: TriangleMesh) {
  const start = new Uint32Array(positions.length / 3 + 1);
  for (const v of triangles) start[v + 1]!++;
  for (let v = 1; v < start.length; v++) start[v]! += start[v - 1]!;
  const order = new Uint32Array(triangles.length);
  const filled = start.slice();
  for (let i = 0; i < triangles.length; i++) order[filled[triangles[i]!]!++] = Math.floor(i / 3);
  return (v: number, visit: (t: number) => void) => {
    for (let i = start[v]!; i < start[v + 1]!; i++) visit(order[i]!);
  };
}
