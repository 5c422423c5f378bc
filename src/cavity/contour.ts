import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** Points of the depth contour round one deep part, in plan. */
export interface Contour {
  /** x, y per point: stride 2. */
  readonly points: Float64Array;
  /** Unit vectors in plan that point out of the part, at each point: stride 2. */
  readonly outward: Float64Array;
}

/** The contour of each deep part, 1 … count: the middles of the lines along which triangles pass the depth limit. */
export function depthContours(
  mesh: TriangleMesh,
  z: Float64Array,
  labels: Int32Array,
  count: number,
  limitMm: number,
): Contour[] {
  const { positions: p, triangles } = mesh;
  const found: { points: number[]; outward: number[] }[] = Array.from({ length: count + 1 }, () => ({
    points: [],
    outward: [],
  }));
  const deep = -limitMm;
  for (let t = 0; t < triangles.length; t += 3) {
    let inside = 0;
    for (let k = 0; k < 3; k++) if (z[triangles[t + k]!]! < deep) inside++;
    if (inside === 0 || inside === 3) continue;
    // The corner that is alone on its side of the limit.
    let lone = 0;
    for (let k = 0; k < 3; k++) if (z[triangles[t + k]!]! < deep === (inside === 1)) lone = k;
    const a = triangles[t + lone]!;
    const b = triangles[t + ((lone + 1) % 3)]!;
    const c = triangles[t + ((lone + 2) % 3)]!;
    const label = inside === 1 ? labels[a]! : labels[b]!;
    const sb = (deep - z[a]!) / (z[b]! - z[a]!);
    const sc = (deep - z[a]!) / (z[c]! - z[a]!);
    const bx = p[3 * a]! + sb * (p[3 * b]! - p[3 * a]!);
    const by = p[3 * a + 1]! + sb * (p[3 * b + 1]! - p[3 * a + 1]!);
    const cx = p[3 * a]! + sc * (p[3 * c]! - p[3 * a]!);
    const cy = p[3 * a + 1]! + sc * (p[3 * c + 1]! - p[3 * a + 1]!);
    const length = Math.hypot(cx - bx, cy - by);
    if (!(length > 1e-9)) continue;
    let nx = (cy - by) / length;
    let ny = -(cx - bx) / length;
    // Out of the part: towards the lone corner if that is the shallow one, away from it if it is the deep one.
    const towards = nx * (p[3 * a]! - bx) + ny * (p[3 * a + 1]! - by);
    if (towards > 0 === (inside === 1)) {
      nx = -nx;
      ny = -ny;
    }
    found[label]!.points.push((bx + cx) / 2, (by + cy) / 2);
    found[label]!.outward.push(nx, ny);
  }
  return found.map(({ points, outward }) => ({
    points: Float64Array.from(points),
    outward: Float64Array.from(outward),
  }));
}
