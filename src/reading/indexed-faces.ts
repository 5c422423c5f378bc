import { GrowingUint32 } from '../base/growing.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { Weld } from '../mesh/weld.js';
import { ObjectNames } from './names.js';
import { triangulate } from './polygon.js';

/** Collects a mesh from vertices, and faces of any size that refer to them by number. */
export class IndexedFaces {
  readonly names = new ObjectNames();
  private readonly weld = new Weld();
  /** Per vertex of the file, its vertex in the weld. */
  private readonly vertexOf = new GrowingUint32();
  private readonly triangles = new GrowingUint32();
  /** The face being read: its vertices in the weld. */
  private face = new Uint32Array(64);
  private corners = 0;

  /** How many vertices the file has given so far. */
  get vertices(): number {
    return this.vertexOf.length;
  }

  /** Coordinates must be finite. */
  addVertex(x: number, y: number, z: number): void {
    this.vertexOf.push(this.weld.add(x, y, z));
  }

  /** @param vertex number of a vertex already given, from 0 */
  addCorner(vertex: number): void {
    if (this.corners === this.face.length) {
      const larger = new Uint32Array(2 * this.face.length);
      larger.set(this.face);
      this.face = larger;
    }
    this.face[this.corners++] = this.vertexOf.at(vertex);
  }

  /** The corners since the last face are one. Returns how many there are; fewer than three make no triangle. */
  endFace(): number {
    const { corners, face } = this;
    this.corners = 0;
    if (corners === 3) this.addTriangle(face[0]!, face[1]!, face[2]!);
    else if (corners > 3) {
      const coordinates = new Float64Array(3 * corners);
      for (let i = 0; i < corners; i++) this.weld.read(face[i]!, coordinates, 3 * i);
      triangulate(coordinates, corners, (a, b, c) => this.addTriangle(face[a]!, face[b]!, face[c]!));
    }
    return corners;
  }

  /** The mesh, without vertices that no triangle uses: they belong to no surface. */
  finish(): TriangleMesh {
    const triangles = this.triangles.take();
    const positions = withoutUnused(this.weld.takePositions(), triangles);
    return { positions, triangles, ...this.names.take() };
  }

  private addTriangle(a: number, b: number, c: number): void {
    this.triangles.push(a);
    this.triangles.push(b);
    this.triangles.push(c);
    this.names.addTriangle();
  }
}

/** Closes the gaps in place; `triangles` are renumbered. */
function withoutUnused(positions: Float64Array, triangles: Uint32Array): Float64Array {
  const newIndex = new Uint32Array(positions.length / 3);
  for (const vertex of triangles) newIndex[vertex] = 1;
  if (!newIndex.includes(0)) return positions;
  let used = 0;
  for (let vertex = 0; vertex < newIndex.length; vertex++) {
    if (newIndex[vertex] === 0) continue;
    positions.copyWithin(3 * used, 3 * vertex, 3 * vertex + 3);
    newIndex[vertex] = used++;
  }
  for (let i = 0; i < triangles.length; i++) triangles[i] = newIndex[triangles[i]!]!;
  return positions.slice(0, 3 * used);
}
