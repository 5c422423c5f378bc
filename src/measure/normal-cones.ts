import type { TaskOptions } from '../base/source.js';
import { inPieces, memoryFor, type PieceWork } from './pieces.js';
import { forUpperNodes, subtreeAt, type TriangleTree, upperLevels } from './triangle-tree.js';
import type { FacesRound } from './wall-normals.js';

/**
 * From the direction of one contact to that of a facing one: at most 60 degrees off straight through the centre. The
 * wall there may be 5 degrees off the ball's own surface.
 */
const facingAngle = (65 * Math.PI) / 180;

/**
 * Per node of a tree over wall, a cone that holds the outward normals of its faces and of all that meet them, widened
 * by 65 degrees: unit axis, cosine of the half angle, and how far along the axis the node's wall begins (stride 5).
 * Outside the cone no contact with this wall can face a point: where a ball touches, its direction lies between the
 * normals of the faces round the contact.
 */
export interface FacingCones {
  readonly cones: Float64Array;
  /** Half angles per node, not widened. */
  readonly angles: Float64Array;
}

export function emptyCones({ links }: TriangleTree, task: TaskOptions): FacingCones {
  const memory = memoryFor(task);
  return { cones: new Float64Array(memory(40 * links.length)), angles: new Float64Array(memory(8 * links.length)) };
}

interface ConeTask extends FacingCones, FacesRound {
  readonly tree: TriangleTree;
  readonly triangles: Uint32Array;
  /** Inward unit normals of the faces themselves: stride 3. */
  readonly inward: Float64Array;
}

/** Fills in the cones: those under each subtree are a piece. */
export async function fillCones(input: ConeTask, task: TaskOptions): Promise<void> {
  const { tree } = input;
  await inPieces(conePieces, input, 2 ** upperLevels(tree), task);
  forUpperNodes(tree, (node, second) => {
    coneOfTwo(input, node, node + 1, second);
    widen(input, node, beginOfBox(input, node));
  });
}

export const conePieces: PieceWork<ConeTask> = {
  name: 'cones',
  open: (input) => input,
  take(input, piece) {
    const { tree } = input;
    const { node, first, end } = subtreeAt(tree, upperLevels(tree), piece);
    coneOf(input, node, first, end);
  },
};

/** The cone of a node and all under it. */
function coneOf(input: ConeTask, node: number, first: number, end: number): void {
  const { counts, links } = input.tree;
  if (counts[node]! > 0) coneOfLeaf(input, node, first, end);
  else {
    const middle = (first + end) >> 1;
    const second = links[node]!;
    coneOf(input, node + 1, first, middle);
    coneOf(input, second, middle, end);
    coneOfTwo(input, node, node + 1, second);
  }
  widen(input, node, end - first > fewCorners ? beginOfBox(input, node) : beginOfCorners(input, node, first, end));
}

/** Over so many triangles a wall's begin is taken from its box: looking at every corner would cost more than it saves. */
const fewCorners = 64;

function widen({ cones, angles }: ConeTask, node: number, begin: number): void {
  const angle = angles[node]! + facingAngle + 1e-6;
  cones[5 * node + 3] = angle >= Math.PI ? -2 : Math.cos(angle);
  cones[5 * node + 4] = begin;
}

function coneOfLeaf(input: ConeTask, node: number, first: number, end: number): void {
  const { cones, angles, tree, triangles, inward, starts, faces } = input;
  const { order } = tree;
  let x = 0;
  let y = 0;
  let z = 0;
  for (let i = first; i < end; i++) {
    const n = 3 * order[i]!;
    x -= inward[n]!;
    y -= inward[n + 1]!;
    z -= inward[n + 2]!;
  }
  setAxis(cones, node, x, y, z);
  const a = 5 * node;
  let least = 1;
  for (let i = first; i < end; i++) {
    for (let corner = 0; corner < 3; corner++) {
      const vertex = triangles[3 * order[i]! + corner]!;
      for (let k = starts[vertex]!; k < starts[vertex + 1]!; k++) {
        const n = 3 * faces[k]!;
        const dot = -(cones[a]! * inward[n]! + cones[a + 1]! * inward[n + 1]! + cones[a + 2]! * inward[n + 2]!);
        if (dot < least) least = dot;
      }
    }
  }
  angles[node] = Math.acos(Math.max(-1, least));
}

function coneOfTwo({ cones, angles }: ConeTask, node: number, a: number, b: number): void {
  const [p, q] = [5 * a, 5 * b];
  setAxis(cones, node, cones[p]! + cones[q]!, cones[p + 1]! + cones[q + 1]!, cones[p + 2]! + cones[q + 2]!);
  angles[node] = Math.max(between(cones, node, a) + angles[a]!, between(cones, node, b) + angles[b]!);
}

/** How far along a node's axis its wall begins: the first of its corners. */
function beginOfCorners({ cones, tree: { corners } }: ConeTask, node: number, first: number, end: number): number {
  const x = cones[5 * node]!;
  const y = cones[5 * node + 1]!;
  const z = cones[5 * node + 2]!;
  let begin = Infinity;
  for (let o = 9 * first; o < 9 * end; o += 3) {
    const along = x * corners[o]! + y * corners[o + 1]! + z * corners[o + 2]!;
    if (along < begin) begin = along;
  }
  return begin;
}

/** The same of its box, which may begin a little earlier. */
function beginOfBox({ cones, tree: { boxes } }: ConeTask, node: number): number {
  let begin = 0;
  for (let axis = 0; axis < 3; axis++) {
    const along = cones[5 * node + axis]!;
    begin += along * boxes[6 * node + axis + (along > 0 ? 0 : 3)]!;
  }
  return begin;
}

function setAxis(cones: Float64Array, node: number, x: number, y: number, z: number): void {
  const length = Math.sqrt(x * x + y * y + z * z) || 1;
  cones[5 * node] = x / length;
  cones[5 * node + 1] = y / length;
  cones[5 * node + 2] = z / length;
}

function between(cones: Float64Array, a: number, b: number): number {
  const [p, q] = [5 * a, 5 * b];
  const dot = cones[p]! * cones[q]! + cones[p + 1]! * cones[q + 1]! + cones[p + 2]! * cones[q + 2]!;
  return Math.acos(Math.min(1, Math.max(-1, dot)));
}
