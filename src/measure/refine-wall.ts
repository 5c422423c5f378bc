export interface RefinedWall {
  /** x, y, z per vertex: the given ones first. */
  readonly positions: Float64Array;
  /** Three vertex indices per face. */
  readonly triangles: Uint32Array;
  /** Per face: the triangle it is a part of. */
  readonly partOf: Uint32Array;
}

/** Midpoints are kept by a number made of two vertex indices, exact up to here. */
const mostVertices = 2 ** 26;

/**
 * Halves edges of a wall until each is short enough for both its ends. Whether an edge is halved depends on that edge
 * alone, so faces that share it stay joined without gaps.
 *
 * @param longestAt how long an edge may be that ends at a point; asked once a vertex
 */
export function refineWall(
  positions: Float64Array,
  triangles: Uint32Array,
  count: number,
  longestAt: (x: number, y: number, z: number) => number,
): RefinedWall {
  const points = new Numbers(positions.length * 2);
  points.append(positions);
  const faces = new Numbers(6 * count);
  const partOf = new Numbers(2 * count);
  const longest = new Numbers(positions.length);
  const middles = new Map<number, number>();
  const uncut = -1;

  const middle = (a: number, b: number): number => {
    const p = points.values;
    const ax = p[3 * a]!;
    const ay = p[3 * a + 1]!;
    const az = p[3 * a + 2]!;
    const bx = p[3 * b]!;
    const by = p[3 * b + 1]!;
    const bz = p[3 * b + 2]!;
    const square = (bx - ax) * (bx - ax) + (by - ay) * (by - ay) + (bz - az) * (bz - az);
    const most = Math.min(longest.values[a]!, longest.values[b]!);
    if (square <= most * most) return uncut;
    const key = Math.min(a, b) * mostVertices + Math.max(a, b);
    const known = middles.get(key);
    if (known !== undefined) return known;
    return addPoint(key, (ax + bx) / 2, (ay + by) / 2, (az + bz) / 2);
  };
  const addPoint = (key: number, x: number, y: number, z: number): number => {
    const vertex = points.length / 3;
    points.push(x);
    points.push(y);
    points.push(z);
    longest.push(longestAt(x, y, z));
    middles.set(key, vertex);
    return vertex;
  };
  for (let o = 0; o < positions.length; o += 3) {
    longest.push(longestAt(positions[o]!, positions[o + 1]!, positions[o + 2]!));
  }
  const cut = (a: number, b: number, c: number, from: number): void => {
    const ab = middle(a, b);
    const bc = middle(b, c);
    const ca = middle(c, a);
    const cuts = Number(ab !== uncut) + Number(bc !== uncut) + Number(ca !== uncut);
    if (cuts === 0) {
      faces.push(a);
      faces.push(b);
      faces.push(c);
      partOf.push(from);
    } else if (cuts === 3) {
      cut(a, ab, ca, from);
      cut(ab, b, bc, from);
      cut(ca, bc, c, from);
      cut(ab, bc, ca, from);
    } else if (cuts === 1) {
      // Turned so that the one cut lies on the first edge.
      const [p, q, r, m] = ab !== uncut ? [a, b, c, ab] : bc !== uncut ? [b, c, a, bc] : [c, a, b, ca];
      cut(p, m, r, from);
      cut(m, q, r, from);
    } else {
      // Turned so that the edge without a cut is the last one; the corner between the cuts comes off.
      const [p, q, r, m, n] = ca === uncut ? [a, b, c, ab, bc] : ab === uncut ? [b, c, a, bc, ca] : [c, a, b, ca, ab];
      cut(m, q, n, from);
      cut(p, m, n, from);
      cut(p, n, r, from);
    }
  };
  for (let f = 0; f < count; f++) cut(triangles[3 * f]!, triangles[3 * f + 1]!, triangles[3 * f + 2]!, f);
  return {
    positions: points.values.slice(0, points.length),
    triangles: Uint32Array.from(faces.values.subarray(0, faces.length)),
    partOf: Uint32Array.from(partOf.values.subarray(0, partOf.length)),
  };
}

/** A growing list of numbers. */
class Numbers {
  values: Float64Array;
  length = 0;

  constructor(room: number) {
    this.values = new Float64Array(Math.max(16, room));
  }

  push(value: number): void {
    if (this.length === this.values.length) {
      const larger = new Float64Array(2 * this.length);
      larger.set(this.values);
      this.values = larger;
    }
    this.values[this.length++] = value;
  }

  append(values: Float64Array): void {
    this.values.set(values, this.length);
    this.length += values.length;
  }
}
