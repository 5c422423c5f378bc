import type { TriangleTree } from './triangle-tree.js';

/** Nodes that are still to be looked at: questions allocate nothing. */
const stack = new Uint32Array(128);

/**
 * How often the wall winds round the point: 1 inside the body, 0 outside. Counts the crossings of a ray straight
 * down, so the open top does not matter.
 */
export function windingAt(tree: TriangleTree, x: number, y: number, z: number): number {
  const { boxes, links, counts, corners, order } = tree;
  let winding = 0;
  let top = 0;
  stack[0] = 0;
  if (order.length === 0) return 0;
  while (top >= 0) {
    const node = stack[top--]!;
    const o = 6 * node;
    if (x < boxes[o]! || y < boxes[o + 1]! || boxes[o + 2]! > z || x > boxes[o + 3]! || y > boxes[o + 4]!) continue;
    const count = counts[node]!;
    if (count === 0) {
      stack[++top] = node + 1;
      stack[++top] = links[node]!;
      continue;
    }
    const first = 9 * links[node]!;
    for (let t = first; t < first + 9 * count; t += 9) {
      // Floors, that is faces turned down, count up; ceilings count down.
      if (crossing(corners, t, x, y) < z) winding += isTurnedDown(corners, t) ? 1 : -1;
    }
  }
  return winding;
}

/** Height of the lowest wall straight above a point, Infinity where there is none. */
export function ceilingOver(tree: TriangleTree, x: number, y: number, z: number): number {
  const { boxes, links, counts, corners, order } = tree;
  let lowest = Infinity;
  if (order.length === 0) return lowest;
  let top = 0;
  stack[0] = 0;
  while (top >= 0) {
    const node = stack[top--]!;
    const o = 6 * node;
    if (x < boxes[o]! || y < boxes[o + 1]! || x > boxes[o + 3]! || y > boxes[o + 4]!) continue;
    if (boxes[o + 5]! < z || boxes[o + 2]! > lowest) continue;
    const count = counts[node]!;
    if (count === 0) {
      stack[++top] = node + 1;
      stack[++top] = links[node]!;
      continue;
    }
    const first = 9 * links[node]!;
    for (let t = first; t < first + 9 * count; t += 9) {
      const height = crossing(corners, t, x, y);
      if (height > z && height < lowest) lowest = height;
    }
  }
  return lowest;
}

/** Height at which an upright line crosses a triangle, NaN where it does not. */
function crossing(t: Float64Array, o: number, x: number, y: number): number {
  const a = turn(t[o]!, t[o + 1]!, t[o + 3]!, t[o + 4]!, x, y);
  const b = turn(t[o + 3]!, t[o + 4]!, t[o + 6]!, t[o + 7]!, x, y);
  const c = turn(t[o + 6]!, t[o + 7]!, t[o]!, t[o + 1]!, x, y);
  if (a !== b || b !== c) return Number.NaN;
  const ux = t[o + 3]! - t[o]!;
  const uy = t[o + 4]! - t[o + 1]!;
  const vx = t[o + 6]! - t[o]!;
  const vy = t[o + 7]! - t[o + 1]!;
  const mz = ux * vy - uy * vx;
  if (mz === 0) return Number.NaN;
  const uz = t[o + 5]! - t[o + 2]!;
  const vz = t[o + 8]! - t[o + 2]!;
  return t[o + 2]! - ((uy * vz - uz * vy) * (x - t[o]!) + (uz * vx - ux * vz) * (y - t[o + 1]!)) / mz;
}

function isTurnedDown(t: Float64Array, o: number): boolean {
  return (t[o + 3]! - t[o]!) * (t[o + 7]! - t[o + 1]!) < (t[o + 4]! - t[o + 1]!) * (t[o + 6]! - t[o]!);
}

/**
 * Which side of the edge a-b the point lies on, +1 or -1; the same edge gives opposite answers from its two triangles,
 * also where the point lies on it, so a surface without holes is crossed exactly once.
 */
function turn(ax: number, ay: number, bx: number, by: number, x: number, y: number): number {
  const flip = ax > bx || (ax === bx && ay > by);
  const side = flip ? (ax - bx) * (y - by) - (ay - by) * (x - bx) : (bx - ax) * (y - ay) - (by - ay) * (x - ax);
  return side > 0 === flip ? -1 : 1;
}
