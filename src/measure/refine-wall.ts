import { GrowingFloat64, GrowingUint32 } from '../base/growing.js';

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
 * @param longestAt how long an edge may be that ends at a vertex; asked once for each, the given ones first
 */
export function refineWall(
  positions: Float64Array,
  triangles: Uint32Array,
  count: number,
  longestAt: (x: number, y: number, z: number, vertex: number) => number,
): RefinedWall {
  const points = new GrowingFloat64(positions.length * 1.25);
  const longest = new GrowingFloat64(positions.length / 2);
  const faces = new GrowingUint32(3.75 * count);
  const partOf = new GrowingUint32(1.25 * count);
  const middles = new Map<number, number>();
  const uncut = -1;

  const middle = (a: number, b: number): number => {
    const ax = points.at(3 * a);
    const ay = points.at(3 * a + 1);
    const az = points.at(3 * a + 2);
    const bx = points.at(3 * b);
    const by = points.at(3 * b + 1);
    const bz = points.at(3 * b + 2);
    const square = (bx - ax) * (bx - ax) + (by - ay) * (by - ay) + (bz - az) * (bz - az);
    const most = Math.min(longest.at(a), longest.at(b));
    if (square <= most * most) return uncut;
    const key = Math.min(a, b) * mostVertices + Math.max(a, b);
    const known = middles.get(key);
    if (known !== undefined) return known;
    const vertex = addPoint((ax + bx) / 2, (ay + by) / 2, (az + bz) / 2);
    middles.set(key, vertex);
    return vertex;
  };
  const addPoint = (x: number, y: number, z: number): number => {
    const vertex = longest.length;
    points.push(x);
    points.push(y);
    points.push(z);
    longest.push(longestAt(x, y, z, vertex));
    return vertex;
  };
  for (let o = 0; o < positions.length; o += 3) addPoint(positions[o]!, positions[o + 1]!, positions[o + 2]!);
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
  return { positions: points.take(), triangles: faces.take(), partOf: partOf.take() };
}
