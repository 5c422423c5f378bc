import { distanceToLoops, indexLoops } from '../base/loop-index.js';
import { isInside, polygonArea } from '../base/plane-geometry.js';
import { holeModel } from './hole-model.js';
import { planeMesh } from './plane-mesh.js';
import { axesAround, normalized, type Vec3 } from './rigid.js';
import type { TriangleMesh } from './triangle-mesh.js';

/** A patch across one hole. */
export interface HolePatch {
  /** New vertices, x, y, z per vertex, numbered from `free` on. */
  readonly positions: readonly number[];
  readonly triangles: readonly number[];
  /** Middle of the hole. */
  readonly at: Vec3;
  /** Largest distance of two corners, about. */
  readonly span: number;
  readonly area: number;
  /** Standard deviation of the volume between the patch and the lost surface. */
  readonly volumeSigma: number;
}

/** A border that was not filled, and why: the surface's outside border, too wide, or shaped so that its sides cannot be told. */
export interface NotFilled {
  readonly why: 'outside' | 'large' | 'twisted';
  readonly at: Vec3;
  readonly span: number;
}

/** Corners of an even grid inside a hole, at most this many along its length. */
const mostAcross = 14;
/** At most so many points of the surroundings are looked at. */
const mostPoints = 220;

/** A hole wider than this is no small one, mm (common practice, no source). */
export const widestHoleMm = 8;

/**
 * Fills the hole inside a loop with a patch that carries the surrounding surface across.
 * @param loop the border's vertices in the direction of the mesh's half-edges
 * @param trianglesAt visits the triangles round a vertex
 * @param free number of the first new vertex
 */
export function fillHole(
  mesh: TriangleMesh,
  loop: Uint32Array,
  trianglesAt: TrianglesAt,
  free: number,
): HolePatch | NotFilled {
  const { positions: p } = mesh;
  const at: Vec3 = [0, 1, 2].map((k) => loop.reduce((sum, v) => sum + p[3 * v + k]!, 0) / loop.length) as never;
  const distance = (v: number) => Math.hypot(p[3 * v]! - at[0], p[3 * v + 1]! - at[1], p[3 * v + 2]! - at[2]);
  const reach = loop.reduce((most, v) => Math.max(most, distance(v)), 0);
  if (isCrack(p, loop, 1e-3 * reach)) {
    const fan = Array.from({ length: loop.length - 2 }, (_, i) => [loop[0]!, loop[i + 2]!, loop[i + 1]!]).flat();
    return { positions: [], triangles: fan, at, span: 2 * reach, area: 0, volumeSigma: 0 };
  }
  const side = loopLength(p, loop) / loop.length;
  const ring = surroundings(mesh, loop, trianglesAt, Math.max(reach, 3 * side));
  // Three sides with neighbours are one lost triangle, however the surface turns there.
  const isTriangle = loop.length === 3 && !isFace(mesh, loop, trianglesAt);
  const facing = isTriangle ? crossOf(p, loop[0]!, loop[2]!, loop[1]!) : ring.normal;
  const size = Math.hypot(...facing);
  const not = (why: NotFilled['why']): NotFilled => ({ why, at, span: 2 * reach });
  if (!(size > 0)) return not('twisted');
  const z = normalized(facing);
  const { x, y } = axesAround(z);
  const put = (v: number, axis: Vec3) =>
    (p[3 * v]! - at[0]) * axis[0] + (p[3 * v + 1]! - at[1]) * axis[1] + (p[3 * v + 2]! - at[2]) * axis[2];
  // The border runs clockwise round a hole and counter-clockwise round the surface: turned, a hole's is a polygon.
  const corners = loop.toReversed();
  const flat = new Float64Array(2 * corners.length);
  corners.forEach((v, i) => {
    flat[2 * i] = put(v, x);
    flat[2 * i + 1] = put(v, y);
  });
  const area = polygonArea(flat);
  if (area < 0.02 * reach * reach) return not(area < -0.02 * reach * reach ? 'outside' : 'twisted');
  if (2 * reach > widestHoleMm && !isTriangle) return not('large');

  const step = Math.max(side, (2 * reach) / mostAcross);
  const inside = loop.length < 10 ? new Float64Array() : gridInside(flat, 0.9 * step, 0.55 * step);
  const patch = planeMesh(flat, inside);
  if (patch === null) return not('twisted');
  // Where there is no corner inside, the middles of the triangles say what the flat patch misses.
  const every = (uv: Float64Array, t: number, k: number) => uv[2 * patch[t]! + k]!;
  const all = new Float64Array([...flat, ...inside]);
  const middles = new Float64Array((2 * patch.length) / 3);
  for (let t = 0; t < patch.length; t += 3) {
    for (let k = 0; k < 2; k++) {
      middles[(2 * t) / 3 + k] = (every(all, t, k) + every(all, t + 1, k) + every(all, t + 2, k)) / 3;
    }
  }
  const kept = ring.vertices.filter((v) => ring.facing(v, z) > 0.2);
  const points = {
    uv: Float64Array.from(kept.flatMap((v) => [put(v, x), put(v, y)])),
    heights: Float64Array.from(kept, (v) => put(v, z)),
    weights: Float64Array.from(kept, (v) => 1 / (1 + (distance(v) / reach) ** 4)),
  };
  // One lost triangle or two have no room for a crease of their own.
  const model = holeModel(points, reach, inside.length > 0 ? inside : middles, loop.length <= 4 ? 0 : 3);
  let flatMiss = 0;
  if (inside.length === 0) {
    for (let t = 0; t < patch.length; t += 3) {
      const chord =
        (put(corners[patch[t]!]!, z) + put(corners[patch[t + 1]!]!, z) + put(corners[patch[t + 2]!]!, z)) / 3;
      flatMiss += (model.heights[t / 3]! - chord) / (patch.length / 3);
    }
  }
  const positions: number[] = [];
  for (let i = 0; i < inside.length / 2; i++) {
    const [u, v, h] = [inside[2 * i]!, inside[2 * i + 1]!, model.heights[i]!];
    for (let k = 0; k < 3; k++) positions.push(at[k]! + u * x[k]! + v * y[k]! + h * z[k]!);
  }
  const triangles = Array.from(patch, (i) => (i < corners.length ? corners[i]! : free + i - corners.length));
  const volumeSigma = area * Math.hypot(model.sigma, flatMiss / 2) * wideFactor(2 * reach);
  return { positions, triangles, at, span: 2 * reach, area, volumeSigma };
}

/**
 * What the model does not know of, corners and undercuts, counts for more the wider a hole is: measured on holes of 2 to
 * 7 mm on the walls and rims of the twelve shapes (docs/decisions/holes.md).
 */
function wideFactor(spanMm: number): number {
  return Math.max(1, 1 + 0.8 * (spanMm - 3));
}

export type TrianglesAt = (v: number, visit: (t: number) => void) => void;

/** The vertices within a width of a loop along the surface, and the sum of the normals there. */
function surroundings(mesh: TriangleMesh, loop: Uint32Array, trianglesAt: TrianglesAt, width: number) {
  const { positions: p, triangles } = mesh;
  const seen = new Map<number, number>();
  for (const v of loop) seen.set(v, v);
  const queue = Array.from(loop);
  const normals = new Map<number, [number, number, number]>();
  const used = new Set<number>();
  const normal: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < queue.length && i < loop.length + 4 * mostPoints; i++) {
    const v = queue[i]!;
    trianglesAt(v, (t) => {
      if (used.has(t)) return;
      used.add(t);
      const [a, b, c] = [triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!];
      const n = crossOf(p, a, b, c);
      for (let k = 0; k < 3; k++) normal[k]! += n[k]!;
      for (const w of [a, b, c]) {
        const own = normals.get(w);
        if (own === undefined) normals.set(w, [...n]);
        else for (let k = 0; k < 3; k++) own[k]! += n[k]!;
        if (seen.has(w)) continue;
        // Measured from the corner of the loop where the way to it began.
        const from = seen.get(v)!;
        const far = Math.hypot(
          p[3 * w]! - p[3 * from]!,
          p[3 * w + 1]! - p[3 * from + 1]!,
          p[3 * w + 2]! - p[3 * from + 2]!,
        );
        if (far > width) continue;
        seen.set(w, from);
        queue.push(w);
      }
    });
  }
  const every = Math.max(1, Math.floor(queue.length / mostPoints));
  return {
    vertices: queue.filter((_, i) => i % every === 0),
    normal: normal as Vec3,
    facing(v: number, z: Vec3): number {
      const own = normals.get(v);
      if (own === undefined) return 1;
      return (own[0] * z[0] + own[1] * z[1] + own[2] * z[2]) / (Math.hypot(...own) || 1);
    },
  };
}

/** Whether three vertices are the corners of a triangle that is there. */
function isFace({ triangles }: TriangleMesh, loop: Uint32Array, trianglesAt: TrianglesAt): boolean {
  let found = false;
  trianglesAt(loop[0]!, (t) => {
    const corners = triangles.subarray(3 * t, 3 * t + 3);
    if (loop.every((v) => corners.includes(v))) found = true;
  });
  return found;
}

/** Whether all of a loop lies along one line: an edge that one side cuts up and the other does not. */
function isCrack(p: Float64Array, loop: Uint32Array, tolerance: number): boolean {
  const from = 3 * loop[0]!;
  const offset = (v: number) => [p[3 * v]! - p[from]!, p[3 * v + 1]! - p[from + 1]!, p[3 * v + 2]! - p[from + 2]!];
  let far = [0, 0, 0];
  for (const v of loop) if (Math.hypot(...offset(v)) > Math.hypot(...far)) far = offset(v);
  const length = Math.hypot(...far);
  return loop.every((v) => {
    const own = offset(v);
    const along = (own[0]! * far[0]! + own[1]! * far[1]! + own[2]! * far[2]!) / length;
    return Math.hypot(...own.map((value, k) => value - (along * far[k]!) / length)) <= tolerance;
  });
}

function crossOf(p: Float64Array, a: number, b: number, c: number): [number, number, number] {
  const [ux, uy, uz] = [p[3 * b]! - p[3 * a]!, p[3 * b + 1]! - p[3 * a + 1]!, p[3 * b + 2]! - p[3 * a + 2]!];
  const [vx, vy, vz] = [p[3 * c]! - p[3 * a]!, p[3 * c + 1]! - p[3 * a + 1]!, p[3 * c + 2]! - p[3 * a + 2]!];
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

function loopLength(p: Float64Array, loop: Uint32Array): number {
  return loop.reduce((sum, v, i) => {
    const w = loop[(i + 1) % loop.length]!;
    return sum + Math.hypot(p[3 * v]! - p[3 * w]!, p[3 * v + 1]! - p[3 * w + 1]!, p[3 * v + 2]! - p[3 * w + 2]!);
  }, 0);
}

/** Points of a triangular grid inside a polygon, away from its sides. */
function gridInside(loop: Float64Array, step: number, away: number): Float64Array {
  const index = indexLoops([loop]);
  let reach = 0;
  for (let i = 0; i < loop.length; i += 2) reach = Math.max(reach, Math.hypot(loop[i]!, loop[i + 1]!));
  const half = Math.ceil(reach / (step * Math.sqrt(0.75)));
  const points: number[] = [];
  for (let row = -half; row <= half; row++) {
    for (let column = -half; column <= half; column++) {
      const [u, v] = [(column + (row & 1) / 2) * step, row * step * Math.sqrt(0.75)];
      if (isInside([loop], u, v) && distanceToLoops(index, u, v, 2 * away) >= away) points.push(u, v);
    }
  }
  return Float64Array.from(points);
}
