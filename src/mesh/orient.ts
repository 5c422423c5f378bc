import { nextHalfEdge } from './half-edges.js';
import { triangleArea } from './triangle-area.js';
import type { TriangleMesh } from './triangle-mesh.js';
import { UnionFind } from './union-find.js';

/**
 * Which triangles face the other way than their surroundings. Triangles that are joined over well paired edges face
 * alike; two that run along a common edge in the same direction do not. Of such a group the smaller part by area is
 * turned.
 * @param opposite the mesh's half-edges
 * @returns numbers of the triangles to turn, and those at edges that no turning mends (a surface with one side only)
 */
export function facingWrong(mesh: TriangleMesh, opposite: Int32Array): { turn: number[]; stuck: number[] } {
  const { triangles } = mesh;
  const clashes = sameWayEdges(mesh, opposite);
  if (clashes.length === 0) return { turn: [], stuck: [] };
  const count = triangles.length / 3;
  const alike = new UnionFind(count);
  for (let h = 0; h < opposite.length; h++) {
    if (opposite[h]! > h) alike.union(Math.floor(h / 3), Math.floor(opposite[h]! / 3));
  }
  const area = new Map<number, number>();
  const neighbours = new Map<number, number[]>();
  for (const [h, other] of clashes) {
    const [a, b] = [alike.find(Math.floor(h / 3)), alike.find(Math.floor(other / 3))];
    if (a === b) continue;
    for (const [from, to] of [
      [a, b],
      [b, a],
    ] as const) {
      area.set(from, 0);
      const list = neighbours.get(from);
      if (list === undefined) neighbours.set(from, [to]);
      else list.push(to);
    }
  }
  const rootOf = new Int32Array(count);
  for (let t = 0; t < count; t++) {
    const root = (rootOf[t] = alike.find(t));
    const sum = area.get(root);
    if (sum !== undefined) area.set(root, sum + triangleArea(mesh, t));
  }
  const side = new Map<number, number>();
  const turned = new Set<number>();
  for (const first of neighbours.keys()) {
    if (side.has(first)) continue;
    const group = [first];
    side.set(first, 0);
    const sums = [0, 0];
    for (const part of group) {
      sums[side.get(part)!]! += area.get(part)!;
      for (const other of neighbours.get(part)!) {
        if (!side.has(other)) {
          side.set(other, 1 - side.get(part)!);
          group.push(other);
        }
      }
    }
    const wrong = sums[0]! >= sums[1]! ? 1 : 0;
    for (const part of group) if (side.get(part) === wrong) turned.add(part);
  }
  const turn: number[] = [];
  for (let t = 0; t < count; t++) if (turned.has(rootOf[t]!)) turn.push(t);
  const isTurned = (h: number) => turned.has(rootOf[Math.floor(h / 3)]!);
  const left = clashes.filter(([h, other]) => isTurned(h) === isTurned(other));
  return { turn, stuck: left.flatMap(([h, other]) => [Math.floor(h / 3), Math.floor(other / 3)]) };
}

/** Pairs of unpaired half-edges over the same two vertices in the same direction, where no third is in play. */
function sameWayEdges({ positions, triangles }: TriangleMesh, opposite: Int32Array): [number, number][] {
  const vertices = positions.length / 3;
  const first = new Map<number, number>();
  const pairs = new Map<number, [number, number]>();
  for (let h = 0; h < opposite.length; h++) {
    if (opposite[h]! >= 0) continue;
    const key = triangles[h]! * vertices + triangles[nextHalfEdge(h)]!;
    const before = first.get(key);
    if (before === undefined) first.set(key, h);
    else if (pairs.has(key)) pairs.delete(key);
    else pairs.set(key, [before, h]);
  }
  return [...pairs.values()];
}

/** Turns triangles round in place. */
export function turnRound(triangles: Uint32Array, turn: Iterable<number>): void {
  for (const t of turn) {
    const keep = triangles[3 * t + 1]!;
    triangles[3 * t + 1] = triangles[3 * t + 2]!;
    triangles[3 * t + 2] = keep;
  }
}
