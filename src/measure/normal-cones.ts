import type { TriangleTree } from './triangle-tree.js';

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
 *
 * @param inward inward unit normals per triangle of the mesh: stride 3
 */
export function facingCones(
  tree: TriangleTree,
  triangles: Uint32Array,
  inward: Float64Array,
  starts: Uint32Array,
  faces: Uint32Array,
): Float64Array {
  const { links, counts, order, corners } = tree;
  const nodes = links.length;
  const axes = new Float64Array(3 * nodes);
  const angles = new Float64Array(nodes);
  const firsts = new Uint32Array(nodes);
  const ends = new Uint32Array(nodes);
  const cones = new Float64Array(5 * nodes);
  // Children come behind their parent, so backwards they are done first.
  for (let node = nodes - 1; node >= 0; node--) {
    const count = counts[node]!;
    if (count > 0) {
      firsts[node] = links[node]!;
      ends[node] = links[node]! + count;
      coneOfLeaf(node, links[node]!, count);
    } else {
      firsts[node] = firsts[node + 1]!;
      ends[node] = ends[links[node]!]!;
      coneOfTwo(node, node + 1, links[node]!);
    }
    cones[5 * node] = axes[3 * node]!;
    cones[5 * node + 1] = axes[3 * node + 1]!;
    cones[5 * node + 2] = axes[3 * node + 2]!;
    const angle = angles[node]! + facingAngle + 1e-6;
    cones[5 * node + 3] = angle >= Math.PI ? -2 : Math.cos(angle);
    cones[5 * node + 4] = beginOf(node);
  }
  return cones;

  function coneOfLeaf(node: number, first: number, count: number): void {
    let x = 0;
    let y = 0;
    let z = 0;
    for (let i = first; i < first + count; i++) {
      const n = 3 * order[i]!;
      x -= inward[n]!;
      y -= inward[n + 1]!;
      z -= inward[n + 2]!;
    }
    setAxis(node, x, y, z);
    const a = 3 * node;
    let least = 1;
    for (let i = first; i < first + count; i++) {
      for (let corner = 0; corner < 3; corner++) {
        const vertex = triangles[3 * order[i]! + corner]!;
        for (let k = starts[vertex]!; k < starts[vertex + 1]!; k++) {
          const n = 3 * faces[k]!;
          const dot = -(axes[a]! * inward[n]! + axes[a + 1]! * inward[n + 1]! + axes[a + 2]! * inward[n + 2]!);
          if (dot < least) least = dot;
        }
      }
    }
    angles[node] = Math.acos(Math.max(-1, least));
  }
  function coneOfTwo(node: number, p: number, q: number): void {
    setAxis(
      node,
      axes[3 * p]! + axes[3 * q]!,
      axes[3 * p + 1]! + axes[3 * q + 1]!,
      axes[3 * p + 2]! + axes[3 * q + 2]!,
    );
    angles[node] = Math.max(between(node, p) + angles[p]!, between(node, q) + angles[q]!);
  }
  function beginOf(node: number): number {
    const [x, y, z] = [axes[3 * node]!, axes[3 * node + 1]!, axes[3 * node + 2]!];
    let begin = Infinity;
    for (let o = 9 * firsts[node]!; o < 9 * ends[node]!; o += 3) {
      const along = x * corners[o]! + y * corners[o + 1]! + z * corners[o + 2]!;
      if (along < begin) begin = along;
    }
    return begin;
  }
  function setAxis(node: number, x: number, y: number, z: number): void {
    const length = Math.hypot(x, y, z) || 1;
    axes[3 * node] = x / length;
    axes[3 * node + 1] = y / length;
    axes[3 * node + 2] = z / length;
  }
  function between(p: number, q: number): number {
    const dot = axes[3 * p]! * axes[3 * q]! + axes[3 * p + 1]! * axes[3 * q + 1]! + axes[3 * p + 2]! * axes[3 * q + 2]!;
    return Math.acos(Math.min(1, Math.max(-1, dot)));
  }
}
