import { inBatches } from '../base/batches.js';
import type { Vec3 } from './rigid.js';
import { squaredSide } from './triangle-area.js';
import type { TriangleMesh } from './triangle-mesh.js';

/**
 * The neighbours round a vertex, in the order in which the surface runs round it. Neighbours much farther off than the
 * nearest, as over a land of long triangles, count as if they lay as near as the others: the facets are the same.
 */
export interface Ring {
  readonly v: number;
  readonly around: readonly number[];
  /** Middle of the near neighbours. */
  readonly middle: Vec3;
  /** Area that the whole ring encloses, in the direction in which the surface faces, mm². */
  readonly areaVector: Vec3;
  /** Of the circle of the near ring's area, mm. */
  readonly radius: number;
  /** Root mean square of the heights over the near ring's plane: of the ring, and of its neighbours' own neighbours, mm. */
  readonly relief: number;
  readonly reliefBeyond: number;
  /** How many of its neighbours' own neighbours there are, and how many lie about twice as far off as the ring. */
  readonly beyond: { readonly all: number; readonly near: number };
  /** One of the triangles at the vertex. */
  readonly triangle: number;
  /** Distance of the vertex from the ring's middle, and its height over the near ring's plane, mm. */
  readonly off: number;
  readonly height: number;
  /** No neighbour lies beyond the vertex, seen from the middle: it is a point, not a place on a steep wall. */
  readonly isPoint: boolean;
}

/** Neighbours farther off than this many times the nearest one are drawn near. */
const near = 3;
/** What lies beyond the ring counts as near from and to so many radii. */
const spacing = [1.2, 4] as const;

/**
 * The rings of some vertices; those on a border or where surfaces touch have none.
 * @param leastRadii leaves out vertices that are no farther off than this many radii, before more is asked of them
 */
export function ringsOf(mesh: TriangleMesh, vertices: readonly number[], leastRadii = -1): Ring[] {
  const { triangles } = mesh;
  const fans = fansAt(mesh, vertices);
  const near = vertices.flatMap((v) => {
    const fan = fans.get(v);
    const around = fan === undefined ? null : walkRound(triangles, fan, v);
    return around === null ? [] : (nearRingOf(mesh, v, around, fan![0]!, leastRadii) ?? []);
  });
  // What lies beyond is asked of those that are left: none, as a rule, of a mesh without spikes.
  const beside = near.length === 0 ? new Map() : fansAt(mesh, new Set(near.flatMap(({ close }) => close)));
  return near.map((ring) => ringOf(mesh, ring, beside));
}

/** The triangles at some vertices. */
function fansAt({ positions, triangles }: TriangleMesh, vertices: Iterable<number>): Map<number, number[]> {
  const flags = new Uint8Array(positions.length / 3);
  for (const v of vertices) flags[v] = 1;
  const flagged: number[] = [];
  inBatches(triangles.length, (from, to) => findFlagged(triangles, flags, from, to, flagged), 3);
  const fans = new Map<number, number[]>();
  for (const i of flagged) {
    const fan = fans.get(triangles[i]!);
    if (fan === undefined) fans.set(triangles[i]!, [Math.floor(i / 3)]);
    else fan.push(Math.floor(i / 3));
  }
  return fans;
}

/** Finds the corners at flagged vertices: few of a mesh. */
function findFlagged(triangles: Uint32Array, flags: Uint8Array, from: number, to: number, found: number[]): void {
  for (let i = from; i < to; i++) if (flags[triangles[i]!] === 1) found.push(i);
}

function walkRound(triangles: Uint32Array, fan: readonly number[], v: number): number[] | null {
  const onward = new Map<number, number>();
  for (const t of fan) {
    const k = [0, 1, 2].find((corner) => triangles[3 * t + corner] === v)!;
    onward.set(triangles[3 * t + ((k + 1) % 3)]!, triangles[3 * t + ((k + 2) % 3)]!);
  }
  const first = onward.keys().next().value!;
  const around = [first];
  for (let w = onward.get(first); w !== first; w = onward.get(w)) {
    if (w === undefined || around.length >= fan.length) return null;
    around.push(w);
  }
  return around.length === fan.length && around.length > 2 ? around : null;
}

/** A ring as far as it is told without what lies beyond it. */
interface NearRing extends Pick<Ring, 'v' | 'around' | 'middle' | 'radius' | 'triangle'> {
  /** Those neighbours that are not much farther off than the nearest. */
  readonly close: readonly number[];
  /** Their mean distance from the middle, mm. */
  readonly typical: number;
  /** Area vector of the ring with far neighbours drawn near, and its length, mm². */
  readonly normal: Vec3;
  readonly area: number;
}

function nearRingOf(
  { positions: p }: TriangleMesh,
  v: number,
  around: readonly number[],
  triangle: number,
  leastRadii: number,
): NearRing | null {
  let least = Infinity;
  for (const w of around) least = Math.min(least, squaredSide(p, v, w));
  const close = around.filter((w) => squaredSide(p, v, w) <= near * near * least);
  let mx = 0;
  let my = 0;
  let mz = 0;
  for (const w of close) {
    mx += p[3 * w]! / close.length;
    my += p[3 * w + 1]! / close.length;
    mz += p[3 * w + 2]! / close.length;
  }
  let typical = 0;
  for (const w of close) typical += distance(p, w, mx, my, mz) / close.length;
  // The area vector is the sum over the fan from the middle; written out, since this is asked of thousands of vertices.
  const reach = ringReach * typical;
  let nx = 0;
  let ny = 0;
  let nz = 0;
  for (let i = 0; i < around.length; i++) {
    const a = around[i]!;
    const b = around[i + 1 < around.length ? i + 1 : 0]!;
    const aShare = Math.min(1, reach / distance(p, a, mx, my, mz));
    const bShare = Math.min(1, reach / distance(p, b, mx, my, mz));
    const ax = aShare * (p[3 * a]! - mx);
    const ay = aShare * (p[3 * a + 1]! - my);
    const az = aShare * (p[3 * a + 2]! - mz);
    const bx = bShare * (p[3 * b]! - mx);
    const by = bShare * (p[3 * b + 1]! - my);
    const bz = bShare * (p[3 * b + 2]! - mz);
    nx += (ay * bz - az * by) / 2;
    ny += (az * bx - ax * bz) / 2;
    nz += (ax * by - ay * bx) / 2;
  }
  const area = Math.sqrt(nx * nx + ny * ny + nz * nz);
  if (!(area > 0)) return null;
  const radius = Math.sqrt(area / Math.PI);
  if (distance(p, v, mx, my, mz) <= leastRadii * radius) return null;
  return { v, around, middle: [mx, my, mz], radius, triangle, close, typical, normal: [nx, ny, nz], area };
}

function distance(p: Float64Array, v: number, x: number, y: number, z: number): number {
  return Math.sqrt((p[3 * v]! - x) ** 2 + (p[3 * v + 1]! - y) ** 2 + (p[3 * v + 2]! - z) ** 2);
}

/** Neighbours count as if they lay within so many typical distances; their own neighbours within twice as many. */
const ringReach = 1.5;

/** A place seen from the middle, drawn near where it is farther off than `most`. */
function drawnTo([x, y, z]: Vec3, most: number): Vec3 {
  const share = Math.min(1, most / Math.hypot(x, y, z));
  return [x * share, y * share, z * share];
}

/** @param fans the triangles at the near neighbours */
function ringOf(
  { positions: p, triangles }: TriangleMesh,
  { close, typical, normal, area, ...ring }: NearRing,
  fans: ReadonlyMap<number, readonly number[]>,
): Ring {
  const { v, around, middle, radius } = ring;
  const fromMiddle = (w: number) => minus([p[3 * w]!, p[3 * w + 1]!, p[3 * w + 2]!], middle);
  const [mx, my, mz] = middle;
  const heightOf = ([x, y, z]: Vec3) => (x * normal[0] + y * normal[1] + z * normal[2]) / area;
  const heights = (vertices: readonly number[], reach: number) =>
    rootMeanSquare(vertices.map((w) => heightOf(drawnTo(fromMiddle(w), reach * typical))));
  const own = new Set([v, ...around]);
  const beyond = new Set<number>();
  for (const w of close) {
    for (const t of fans.get(w) ?? []) {
      for (let k = 3 * t; k < 3 * t + 3; k++) if (!own.has(triangles[k]!)) beyond.add(triangles[k]!);
    }
  }
  const isNear = (w: number) => {
    const radii = distance(p, w, mx, my, mz) / radius;
    return radii > spacing[0] && radii < spacing[1];
  };
  const tip = fromMiddle(v);
  return {
    ...ring,
    areaVector: areaVectorOf(around.map(fromMiddle)),
    relief: heights(around, ringReach),
    reliefBeyond: heights([...beyond], 2 * ringReach),
    beyond: { all: beyond.size, near: [...beyond].filter(isNear).length },
    off: distance(p, v, mx, my, mz),
    height: heightOf(tip),
    isPoint: around.every((w) => cosine(tip, minus(fromMiddle(w), tip)) < 0.3),
  };
}

function minus(a: Vec3, b: Vec3): Vec3 {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function cosine(a: Vec3, b: Vec3): number {
  return (a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) / (Math.hypot(...a) * Math.hypot(...b));
}

/** The area inside a ring of points about the origin, as a vector. */
function areaVectorOf(points: readonly Vec3[]): Vec3 {
  const sum: [number, number, number] = [0, 0, 0];
  points.forEach(([ux, uy, uz], i) => {
    const [wx, wy, wz] = points[(i + 1) % points.length]!;
    sum[0] += (uy * wz - uz * wy) / 2;
    sum[1] += (uz * wx - ux * wz) / 2;
    sum[2] += (ux * wy - uy * wx) / 2;
  });
  return sum;
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / Math.max(1, values.length));
}
