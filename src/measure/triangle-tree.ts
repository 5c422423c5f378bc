import type { Memory } from '../base/memory.js';
import type { TaskOptions } from '../base/source.js';
import { inPieces, memoryFor, type PieceWork } from './pieces.js';

/** A binary tree of boxes over triangles, in flat arrays. Nodes are in preorder: the first child follows its parent. */
export interface TriangleTree {
  /** xMin, yMin, zMin, xMax, yMax, zMax per node. */
  readonly boxes: Float64Array;
  /** Per node: of a leaf the first triangle (in tree order), of an inner node the second child. */
  readonly links: Uint32Array;
  /** Per node: triangles of a leaf, 0 for an inner node. */
  readonly counts: Uint8Array;
  /** Corners in tree order: nine numbers per triangle. */
  readonly corners: Float64Array;
  /** Number of the triangle in the mesh, in tree order. */
  readonly order: Uint32Array;
}

/** A node with the triangles under it, in tree order. */
export interface Subtree {
  readonly node: number;
  readonly first: number;
  readonly end: number;
}

const leafSize = 4;

/** Trees over at least so many triangles are built in pieces: 2 to this power subtrees. */
const manyTriangles = 4096;
const levels = 3;

/**
 * Builds the tree by halving at the median of the centres along the longest side. A range is halved in the same way
 * whoever does it, so the upper halvings are pieces level by level, and the subtrees under them are pieces.
 * @param positions x, y, z per vertex
 * @param triangles three vertex indices per triangle
 * @param centres sum of the corners per triangle that the tree is to hold: the first ones
 */
export async function buildTriangleTree(
  positions: Float64Array,
  triangles: Uint32Array,
  centres: Float64Array,
  task: TaskOptions,
): Promise<TriangleTree> {
  const tree = emptyTree(centres.length / 3, memoryFor(task));
  const input = { tree, positions, triangles, centres };
  const upper = upperLevels(tree);
  for (let level = 0; level < upper; level++) await inPieces(halvingPieces, { ...input, level }, 2 ** level, task);
  await inPieces(subtreePieces, { ...input, level: upper }, 2 ** upper, task);
  forUpperNodes(tree, (node) => joinBoxes(tree, node));
  return tree;
}

interface TreeTask {
  readonly tree: TriangleTree;
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly centres: Float64Array;
  readonly level: number;
}

export const halvingPieces: PieceWork<TreeTask> = {
  name: 'halvings',
  open: (input) => input,
  take({ tree, centres, level }, piece) {
    const { first, end } = subtreeAt(tree, level, piece);
    halve(centres, tree.order, first, end);
  },
};

export const subtreePieces: PieceWork<TreeTask> = {
  name: 'subtrees',
  open: (input) => input,
  take(input, piece) {
    const { node, first, end } = subtreeAt(input.tree, input.level, piece);
    buildSubtree(input, node, first, end);
  },
};

/** How many levels of a tree lie over the subtrees that are pieces. */
export function upperLevels({ order }: TriangleTree): number {
  return order.length < manyTriangles ? 0 : levels;
}

/** One of the nodes of a level, counted from the root's 0. */
export function subtreeAt({ order }: TriangleTree, level: number, number: number): Subtree {
  const sizes = new NodeCounts();
  let [node, first, end] = [0, 0, order.length];
  for (let bit = level - 1; bit >= 0; bit--) {
    const middle = (first + end) >> 1;
    if ((number >> bit) & 1) {
      node += 1 + sizes.of(middle - first);
      first = middle;
    } else {
      node++;
      end = middle;
    }
  }
  return { node, first, end };
}

/** Visits the nodes over the subtrees that are pieces, children before parents, and links them. */
export function forUpperNodes(tree: TriangleTree, visit: (node: number, second: number) => void): void {
  for (let level = upperLevels(tree) - 1; level >= 0; level--) {
    for (let number = 0; number < 2 ** level; number++) {
      const { node } = subtreeAt(tree, level, number);
      const { node: second } = subtreeAt(tree, level + 1, 2 * number + 1);
      tree.links[node] = second;
      visit(node, second);
    }
  }
}

function emptyTree(count: number, memory: Memory): TriangleTree {
  const nodes = new NodeCounts().of(count);
  const order = new Uint32Array(memory(4 * count));
  for (let i = 0; i < count; i++) order[i] = i;
  return {
    boxes: new Float64Array(memory(48 * nodes)),
    links: new Uint32Array(memory(4 * nodes)),
    counts: new Uint8Array(memory(nodes)),
    corners: new Float64Array(memory(72 * count)),
    order,
  };
}

/** How many nodes a tree over so many triangles has. */
class NodeCounts {
  private readonly known = new Map<number, number>();

  of(count: number): number {
    if (count <= leafSize) return 1;
    const known = this.known.get(count);
    if (known !== undefined) return known;
    const half = count >> 1;
    const nodes = 1 + this.of(half) + this.of(count - half);
    this.known.set(count, nodes);
    return nodes;
  }
}

/** @returns the number of the node after the last one of the subtree */
function buildSubtree(input: TreeTask, node: number, first: number, end: number): number {
  const { tree, centres } = input;
  if (end - first <= leafSize) {
    tree.links[node] = first;
    tree.counts[node] = end - first;
    fillLeaf(input, node, first, end);
    return node + 1;
  }
  const middle = halve(centres, tree.order, first, end);
  const second = buildSubtree(input, node + 1, first, middle);
  tree.links[node] = second;
  const next = buildSubtree(input, second, middle, end);
  joinBoxes(tree, node);
  return next;
}

function fillLeaf({ tree, positions, triangles }: TreeTask, node: number, first: number, end: number): void {
  const { boxes, corners, order } = tree;
  for (let axis = 0; axis < 3; axis++) {
    let low = Infinity;
    let high = -Infinity;
    for (let i = first; i < end; i++) {
      for (let corner = 0; corner < 3; corner++) {
        const value = positions[3 * triangles[3 * order[i]! + corner]! + axis]!;
        corners[9 * i + 3 * corner + axis] = value;
        if (value < low) low = value;
        if (value > high) high = value;
      }
    }
    boxes[6 * node + axis] = low;
    boxes[6 * node + 3 + axis] = high;
  }
}

function joinBoxes({ boxes, links }: TriangleTree, node: number): void {
  const o = 6 * node;
  const a = o + 6;
  const b = 6 * links[node]!;
  for (let axis = 0; axis < 3; axis++) {
    boxes[o + axis] = Math.min(boxes[a + axis]!, boxes[b + axis]!);
    boxes[o + 3 + axis] = Math.max(boxes[a + 3 + axis]!, boxes[b + 3 + axis]!);
  }
}

/** Brings the smaller half of a range before the larger one. @returns where that begins */
function halve(centres: Float64Array, order: Uint32Array, first: number, end: number): number {
  const middle = (first + end) >> 1;
  select(centres, longestAxis(centres, order, first, end), order, first, end - 1, middle);
  return middle;
}

function longestAxis(centres: Float64Array, order: Uint32Array, first: number, end: number): number {
  let axis = 0;
  let longest = -1;
  for (let a = 0; a < 3; a++) {
    let low = Infinity;
    let high = -Infinity;
    for (let i = first; i < end; i++) {
      const value = centres[3 * order[i]! + a]!;
      if (value < low) low = value;
      if (value > high) high = value;
    }
    if (high - low > longest) {
      longest = high - low;
      axis = a;
    }
  }
  return axis;
}

/** Quickselect (Hoare): afterwards order[k] is in its sorted place along the axis, smaller before, larger behind. */
function select(centres: Float64Array, axis: number, order: Uint32Array, low: number, high: number, k: number): void {
  while (low < high) {
    const pivot = centres[3 * order[(low + high) >> 1]! + axis]!;
    let i = low;
    let j = high;
    while (i <= j) {
      while (centres[3 * order[i]! + axis]! < pivot) i++;
      while (centres[3 * order[j]! + axis]! > pivot) j--;
      if (i <= j) {
        const swap = order[i]!;
        order[i++] = order[j]!;
        order[j--] = swap;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else return;
  }
}
