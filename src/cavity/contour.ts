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
    // Out of the part, in plan: the wall faces into it, upright and overhanging walls too.
    const [e, f] = [3 * b, 3 * c];
    const [ux, uy, uz] = [p[e]! - p[3 * a]!, p[e + 1]! - p[3 * a + 1]!, z[b]! - z[a]!];
    const [vx, vy, vz] = [p[f]! - p[3 * a]!, p[f + 1]! - p[3 * a + 1]!, z[c]! - z[a]!];
    const [ox, oy] = [uz * vy - uy * vz, ux * vz - uz * vx];
    const steep = Math.hypot(ox, oy);
    if (!(steep > 0)) continue;
    const [nx, ny] = [ox / steep, oy / steep];
    found[label]!.points.push((bx + cx) / 2, (by + cy) / 2);
    found[label]!.outward.push(nx, ny);
  }
  return found.map(({ points, outward }) => ({
    points: Float64Array.from(points),
    outward: Float64Array.from(outward),
  }));
}

/**
 * A contour with the noise's wiggles taken out: points and directions averaged over those near by that face about the
 * same way, and what that moves a bend is put back (twicing, Tukey 1977). Distances from a wiggly line are too short on
 * both sides of it, since its bulges are nearest: a straight wall measured from one has a kink there.
 */
export function calmContour({ points, outward }: Contour, widthMm: number): Contour {
  const average = averager(points, outward, widthMm);
  const once = average(points);
  const back = average(points.map((value, i) => value - once[i]!));
  const calm = once.map((value, i) => value + back[i]!);
  const way = average(outward);
  for (let i = 0; i < way.length; i += 2) {
    const length = Math.hypot(way[i]!, way[i + 1]!);
    way[i]! /= length;
    way[i + 1]! /= length;
  }
  return { points: calm, outward: way };
}

/** Averages pairs of values over a contour's points, by a Gaussian of their distance. */
function averager(points: Float64Array, outward: Float64Array, widthMm: number) {
  const reachMm = 2 * widthMm;
  const cells = new Map<number, number[]>();
  const key = (x: number, y: number) => Math.floor(x / reachMm) * 65536 + Math.floor(y / reachMm);
  for (let i = 0; i < points.length; i += 2) {
    const cell = key(points[i]!, points[i + 1]!);
    const list = cells.get(cell);
    if (list === undefined) cells.set(cell, [i]);
    else list.push(i);
  }
  return (values: Float64Array): Float64Array => {
    const averaged = new Float64Array(values.length);
    for (let i = 0; i < points.length; i += 2) {
      const [x, y, nx, ny] = [points[i]!, points[i + 1]!, outward[i]!, outward[i + 1]!];
      let [weights, sumX, sumY] = [0, 0, 0];
      for (let dx = -1; dx <= 1; dx++) {
        for (let dy = -1; dy <= 1; dy++) {
          for (const j of cells.get(key(x + dx * reachMm, y + dy * reachMm)) ?? []) {
            if (nx * outward[j]! + ny * outward[j + 1]! < 0.5) continue;
            const square = (points[j]! - x) ** 2 + (points[j + 1]! - y) ** 2;
            const w = Math.exp((-0.5 * square) / (widthMm * widthMm));
            weights += w;
            sumX += w * values[j]!;
            sumY += w * values[j + 1]!;
          }
        }
      }
      averaged[i] = sumX / weights;
      averaged[i + 1] = sumY / weights;
    }
    return averaged;
  };
}
