import { coherenceOf } from './coherence.js';
import { vertexSets } from './shells.js';
import { triangleArea } from './triangle-area.js';
import type { TriangleMesh } from './triangle-mesh.js';

/** A shell smaller than this across and with less than a thousandth of the surface is dirt, mm (common practice, no source). */
const speckMm = 3;

/** Shells that can be left out. */
export interface StrayShells {
  /** Per triangle: 1 where it stays. */
  readonly stays: Uint8Array;
  readonly count: number;
}

/** Isolated specks; null where there are none. */
export function specks(mesh: TriangleMesh): StrayShells | null {
  const { shells, rootOf } = summed(mesh);
  let total = 0;
  for (const { area } of shells) total += area;
  const stray = shells.filter((shell) => shell.across() < speckMm && shell.area < 1e-3 * total);
  return leftOut(stray, rootOf);
}

/**
 * Shells that lie where another of as many triangles lies already; null where there are none.
 * @param toleranceMm how far two copies of a shell may be apart
 */
export function copiedShells(mesh: TriangleMesh, toleranceMm: number): StrayShells | null {
  const { shells, rootOf } = summed(mesh);
  const stray: Shell[] = [];
  // Only a shell whose box begins at the same x can be the same.
  const inOrder = shells
    .filter((shell) => shell.triangles > 1)
    .sort((a, b) => a.box[0]! - b.box[0]! || a.root - b.root);
  for (let i = 0; i < inOrder.length; i++) {
    for (let j = i - 1; j >= 0 && inOrder[i]!.box[0]! - inOrder[j]!.box[0]! <= toleranceMm; j--) {
      if (!inOrder[j]!.isAlike(inOrder[i]!, toleranceMm)) continue;
      stray.push(inOrder[i]!);
      break;
    }
  }
  return leftOut(stray, rootOf);
}

function leftOut(stray: readonly Shell[], rootOf: Int32Array): StrayShells | null {
  if (stray.length === 0) return null;
  const roots = new Set(stray.map(({ root }) => root));
  return { stays: Uint8Array.from(rootOf, (root) => (roots.has(root) ? 0 : 1)), count: stray.length };
}

/** The shells of a mesh with their sizes, and per triangle the root of its shell; none where the mesh is one shell. */
function summed(mesh: TriangleMesh): { shells: Shell[]; rootOf: Int32Array } {
  const { positions: p, triangles } = mesh;
  if (coherenceOf(mesh).isOneShell) return { shells: [], rootOf: new Int32Array() };
  const count = triangles.length / 3;
  const sets = vertexSets(mesh);
  const byRoot = new Map<number, Shell>();
  const rootOf = new Int32Array(count);
  let last: Shell | undefined;
  for (let t = 0; t < count; t++) {
    const root = (rootOf[t] = sets.find(triangles[3 * t]!));
    if (last?.root !== root) {
      last = byRoot.get(root);
      if (last === undefined) byRoot.set(root, (last = new Shell(root)));
    }
    last.add(triangleArea(mesh, t), p, triangles, t);
  }
  return { shells: [...byRoot.values()], rootOf };
}

class Shell {
  readonly box = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];
  area = 0;
  triangles = 0;

  constructor(readonly root: number) {}

  add(area: number, p: Float64Array, triangles: Uint32Array, t: number): void {
    this.area += area;
    this.triangles++;
    for (let k = 3 * t; k < 3 * t + 3; k++) {
      for (let axis = 0; axis < 3; axis++) {
        const value = p[3 * triangles[k]! + axis]!;
        if (value < this.box[axis]!) this.box[axis] = value;
        if (value > this.box[axis + 3]!) this.box[axis + 3] = value;
      }
    }
  }

  across(): number {
    return Math.hypot(...[0, 1, 2].map((axis) => this.box[axis + 3]! - this.box[axis]!));
  }

  isAlike(other: Shell, toleranceMm: number): boolean {
    if (other.triangles !== this.triangles) return false;
    if (Math.abs(other.area - this.area) > 1e-4 * this.area) return false;
    return this.box.every((value, axis) => Math.abs(value - other.box[axis]!) <= toleranceMm);
  }
}
