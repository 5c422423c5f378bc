import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { FillBody } from './fill-body.js';

/**
 * How the fill is spread in plan round its own middle: seven lengths in mm, which turn with the piece. With w = x + iy
 * from the middle and the depth as the weight, they are r = sqrt(mean |w|²), then the real and the imaginary part of
 * mean w² / r (turns twice as fast as the piece), of mean w |w|² / r² (turns with it) and of mean w³ / r² (three times as
 * fast). A mirror image has their conjugates. They are sums over the whole wall, so that noise hardly moves them.
 */
export type FillShape = readonly number[];

/** Six points and weights that integrate degree 4 exactly over a triangle (Dunavant 1985): two places, weight. */
const rule = Float64Array.of(
  ...[
    [0.445948490915965, 0.10810301816807, 0.223381589678011] as const,
    [0.091576213509771, 0.816847572980459, 0.109951743655322] as const,
  ].flatMap(([a, b, weight]) => [a, a, weight, a, b, weight, b, a, weight]),
);

/** @param body its wall is seen from inside the silicone */
export function fillShape({
  positions,
  triangles,
  wallTriangles,
}: Pick<FillBody, 'positions' | 'triangles' | 'wallTriangles'>): FillShape | null {
  return shapeOver(positions, triangles, null, wallTriangles, 1);
}

/** @param own numbers of the triangles of the plate's mesh that are the wall: it is seen from above */
export function fillShapeOver({ positions, triangles }: TriangleMesh, own: Uint32Array): FillShape | null {
  return shapeOver(positions, triangles, own, own.length, -1);
}

/** @param side by which sign an area counts: 1 where the wall faces out of the fill, -1 where into it */
function shapeOver(
  p: Float64Array,
  triangles: Uint32Array,
  own: Uint32Array | null,
  count: number,
  side: 1 | -1,
): FillShape | null {
  // From a point of the wall, so that a place far from the frame's origin costs no digits.
  const first = 3 * (triangles[3 * (own?.[0] ?? 0)] ?? 0);
  const ox = p[first] ?? 0;
  const oy = p[first + 1] ?? 0;
  const moments = new Float64Array(10);
  inBatches(count, (from, to) => addMoments(p, triangles, own, from, to, ox, oy, side, moments));
  const [m, mx, my, mxx, mxy, myy, mxxx, mxxy, mxyy, myyy] = moments as unknown as Moments;
  const volume = m;
  if (!(volume > 0)) return null;
  // About the fill's own middle (x, y).
  const [x, y] = [mx / m, my / m];
  const cxx = mxx - x * mx;
  const cxy = mxy - x * my;
  const cyy = myy - y * my;
  const cxxx = mxxx - 3 * x * mxx + 2 * x * x * mx;
  const cxxy = mxxy - 2 * x * mxy - y * mxx + 2 * x * x * my;
  const cxyy = mxyy - 2 * y * mxy - x * myy + 2 * y * y * mx;
  const cyyy = myyy - 3 * y * myy + 2 * y * y * my;
  const spread = cxx + cyy;
  const sums = [cxx - cyy, 2 * cxy, cxxx + cxyy, cxxy + cyyy, cxxx - 3 * cxyy, 3 * cxxy - cyyy];
  if (!(spread > 0)) return null;
  const r = Math.sqrt(spread / volume);
  return [r, ...sums.map((sum, k) => sum / volume / (k < 2 ? r : r * r))];
}

/** Moments up to the third: of 1, x, y, xx, xy, yy, xxx, xxy, xyy and yyy. */
type Moments = readonly [number, number, number, number, number, number, number, number, number, number];

/** Adds the moments of some triangles, from x = ox, y = oy: in one plain loop, since every triangle of a scan comes by here. */
function addMoments(
  p: Float64Array,
  triangles: Uint32Array,
  own: Uint32Array | null,
  from: number,
  to: number,
  ox: number,
  oy: number,
  side: number,
  moments: Float64Array,
): void {
  let m = moments[0]!;
  let mx = moments[1]!;
  let my = moments[2]!;
  let mxx = moments[3]!;
  let mxy = moments[4]!;
  let myy = moments[5]!;
  let mxxx = moments[6]!;
  let mxxy = moments[7]!;
  let mxyy = moments[8]!;
  let myyy = moments[9]!;
  for (let i = from; i < to; i++) {
    const t = 3 * (own === null ? i : own[i]!);
    const a = 3 * triangles[t]!;
    const b = 3 * triangles[t + 1]!;
    const c = 3 * triangles[t + 2]!;
    const ax = p[a]! - ox;
    const ay = p[a + 1]! - oy;
    const ux = p[b]! - ox - ax;
    const uy = p[b + 1]! - oy - ay;
    const vx = p[c]! - ox - ax;
    const vy = p[c + 1]! - oy - ay;
    const az = p[a + 2]!;
    const uz = p[b + 2]! - az;
    const vz = p[c + 2]! - az;
    // Seen from outside the body the wall runs the other way round than from above.
    const area = (side * (uy * vx - ux * vy)) / 2;
    for (let k = 0; k < 18; k += 3) {
      const s = rule[k]!;
      const r = rule[k + 1]!;
      const weight = area * -(az + s * uz + r * vz) * rule[k + 2]!;
      const x = ax + s * ux + r * vx;
      const y = ay + s * uy + r * vy;
      const wx = weight * x;
      const wy = weight * y;
      m += weight;
      mx += wx;
      my += wy;
      mxx += wx * x;
      mxy += wx * y;
      myy += wy * y;
      mxxx += wx * x * x;
      mxxy += wx * x * y;
      mxyy += wx * y * y;
      myyy += wy * y * y;
    }
  }
  moments[0] = m;
  moments[1] = mx;
  moments[2] = my;
  moments[3] = mxx;
  moments[4] = mxy;
  moments[5] = myy;
  moments[6] = mxxx;
  moments[7] = mxxy;
  moments[8] = mxyy;
  moments[9] = myyy;
}

/** How fast each pair of numbers turns with the piece. */
const speeds = [2, 1, 3] as const;

/** The shape of the piece turned by an angle in radians, counter-clockwise seen from above. */
export function turnedShape(shape: FillShape, angle: number): FillShape {
  const turned = [shape[0]!];
  speeds.forEach((speed, k) => {
    const [c, s] = [Math.cos(speed * angle), Math.sin(speed * angle)];
    const [x, y] = [shape[2 * k + 1]!, shape[2 * k + 2]!];
    turned.push(c * x - s * y, s * x + c * y);
  });
  return turned;
}

/** The shape of the mirror image, mirrored in x. */
export function mirroredShape(shape: FillShape): FillShape {
  // w becomes -conj(w): w² its conjugate, the odd powers their negative conjugates.
  return shape.map((value, i) => (i === 2 || i === 3 || i === 5 ? -value : value));
}
