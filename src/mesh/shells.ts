import { inBatches } from '../base/batches.js';
import { coherenceOf } from './coherence.js';
import { triangleArea } from './triangle-area.js';
import type { TriangleMesh } from './triangle-mesh.js';
import { UnionFind } from './union-find.js';

/** The vertices of a mesh in sets that triangles hang together. */
export function vertexSets({ positions, triangles }: TriangleMesh): UnionFind {
  const sets = new UnionFind(positions.length / 3);
  inBatches(triangles.length, (from, to) => unite(sets, triangles, from, to), 3);
  return sets;
}

function unite(sets: UnionFind, triangles: Uint32Array, from: number, to: number): void {
  for (let t = from; t < to; t += 3) {
    sets.union(triangles[t]!, triangles[t + 1]!);
    sets.union(triangles[t]!, triangles[t + 2]!);
  }
}

/** The shells of a mesh: sets of triangles that hang together by shared vertices, in the order of the file. */
export function shellsOf(mesh: TriangleMesh): Uint32Array[] {
  const { triangles } = mesh;
  const sets = vertexSets(mesh);
  const byRoot = new Map<number, number[]>();
  for (let t = 0; t < triangles.length / 3; t++) {
    const root = sets.find(triangles[3 * t]!);
    const own = byRoot.get(root);
    if (own === undefined) byRoot.set(root, [t]);
    else own.push(t);
  }
  return [...byRoot.values()].map((own) => Uint32Array.from(own));
}

/** Per vertex a number of its shell; null where all of the mesh is one. */
export function shellOfVertices(mesh: TriangleMesh): Int32Array | null {
  if (coherenceOf(mesh).isOneShell) return null;
  const sets = vertexSets(mesh);
  const shells = new Int32Array(mesh.positions.length / 3);
  for (let v = 0; v < shells.length; v++) shells[v] = sets.find(v);
  return shells;
}

/** The shells without specks: those with less than a thousandth of the largest one's area. */
export function sizeableShells(mesh: TriangleMesh): Uint32Array[] {
  const shells = shellsOf(mesh);
  const areas = shells.map((own) => own.reduce((sum, t) => sum + triangleArea(mesh, t), 0));
  const least = Math.max(...areas) / 1000;
  return shells.filter((_, i) => areas[i]! >= least);
}

/** Some triangles as a mesh of their own; `vertices` are the old numbers of its vertices. */
export function submesh(mesh: TriangleMesh, own: Uint32Array): { mesh: TriangleMesh; vertices: Uint32Array } {
  const number = new Map<number, number>();
  const vertices: number[] = [];
  const triangles = new Uint32Array(3 * own.length);
  for (let i = 0; i < own.length; i++) {
    for (let k = 0; k < 3; k++) {
      const v = mesh.triangles[3 * own[i]! + k]!;
      let local = number.get(v);
      if (local === undefined) {
        local = vertices.length;
        number.set(v, local);
        vertices.push(v);
      }
      triangles[3 * i + k] = local;
    }
  }
  const positions = new Float64Array(3 * vertices.length);
  vertices.forEach((v, i) => {
    positions.set(mesh.positions.subarray(3 * v, 3 * v + 3), 3 * i);
  });
  return { mesh: { positions, triangles }, vertices: Uint32Array.from(vertices) };
}
