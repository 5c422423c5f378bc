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

const leafSize = 4;

/**
 * Builds the tree by halving at the median of the centres along the longest side.
 * @param positions x, y, z per vertex
 * @param triangles three vertex indices per triangle; the first `count` triangles are taken
 */
export function buildTriangleTree(positions: Float64Array, triangles: Uint32Array, count: number): TriangleTree {
  const centres = new Float64Array(count * 3);
  const order = new Uint32Array(count);
  for (let i = 0; i < count; i++) {
    order[i] = i;
    for (let axis = 0; axis < 3; axis++) {
      centres[3 * i + axis] =
        positions[3 * triangles[3 * i]! + axis]! +
        positions[3 * triangles[3 * i + 1]! + axis]! +
        positions[3 * triangles[3 * i + 2]! + axis]!;
    }
  }
  const room = Math.max(1, count);
  const boxes = new Float64Array(6 * room);
  const links = new Uint32Array(room);
  const counts = new Uint8Array(room);
  let nodes = 0;

  const build = (first: number, end: number): void => {
    const node = nodes++;
    if (end - first <= leafSize) {
      links[node] = first;
      counts[node] = end - first;
      boxOfTriangles(node, first, end);
      return;
    }
    const middle = (first + end) >> 1;
    select(centres, longestAxis(centres, order, first, end), order, first, end - 1, middle);
    build(first, middle);
    const second = nodes;
    links[node] = second;
    build(middle, end);
    for (let axis = 0; axis < 3; axis++) {
      boxes[6 * node + axis] = Math.min(boxes[6 * (node + 1) + axis]!, boxes[6 * second + axis]!);
      boxes[6 * node + 3 + axis] = Math.max(boxes[6 * (node + 1) + 3 + axis]!, boxes[6 * second + 3 + axis]!);
    }
  };
  const boxOfTriangles = (node: number, first: number, end: number): void => {
    for (let axis = 0; axis < 3; axis++) {
      let low = Infinity;
      let high = -Infinity;
      for (let i = first; i < end; i++) {
        for (let corner = 0; corner < 3; corner++) {
          const value = positions[3 * triangles[3 * order[i]! + corner]! + axis]!;
          if (value < low) low = value;
          if (value > high) high = value;
        }
      }
      boxes[6 * node + axis] = low;
      boxes[6 * node + 3 + axis] = high;
    }
  };
  build(0, count);

  const corners = new Float64Array(9 * count);
  for (let i = 0; i < count; i++) {
    for (let corner = 0; corner < 3; corner++) {
      const vertex = triangles[3 * order[i]! + corner]!;
      for (let axis = 0; axis < 3; axis++) corners[9 * i + 3 * corner + axis] = positions[3 * vertex + axis]!;
    }
  }
  return {
    boxes: boxes.slice(0, 6 * nodes),
    links: links.slice(0, nodes),
    counts: counts.slice(0, nodes),
    corners,
    order,
  };
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
