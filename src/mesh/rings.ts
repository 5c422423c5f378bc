import { inBatches } from '../base/batches.js';
import { GrowingUint32 } from '../base/growing.js';
import type { Vec3 } from './rigid.js';
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
  /** Root mean square of the ring's heights over the near ring's plane, mm. */
  readonly relief: number;
  /** One of the triangles at the vertex. */
  readonly triangle: number;
  /** Distance of the vertex from the ring's middle, and its height over the near ring's plane, mm. */
  readonly off: number;
  readonly height: number;
  /** Those neighbours that are not much farther off than the nearest, and their mean distance from the middle, mm. */
  readonly close: readonly number[];
  readonly typical: number;
  /** Area vector of the ring with far neighbours drawn near, and its length, mm². */
  readonly normal: Vec3;
  readonly area: number;
  /** No neighbour lies beyond the vertex, seen from the middle: it is a point, not a place on a steep wall. */
  readonly isPoint: boolean;
}

/** What lies round a ring: its neighbours' own neighbours. */
export interface Surroundings {
  /** Root mean square of their heights over the near ring's plane, mm. */
  readonly relief: number;
  /** How many there are, and how many lie about twice as far off as the ring. */
  readonly all: number;
  readonly near: number;
}

/** Neighbours farther off than this many times the nearest one are drawn near. */
const near = 3;
/** Neighbours count as if they lay within so many typical distances; their own neighbours within twice as many. */
const ringReach = 1.5;
/** What lies beyond the ring counts as near from and to so many radii. */
const spacing = [1.2, 4] as const;

/**
 * The rings of some vertices; those on a border or where surfaces touch have none.
 * @param vertices each of them once
 * @param leastRadii leaves out vertices that are no farther off than this many radii
 */
export function ringsOf(mesh: TriangleMesh, vertices: readonly number[], leastRadii = -1): Ring[] {
  const fans = fansAt(mesh, vertices);
  const rings: Ring[] = [];
  for (let i = 0; i < vertices.length; i++) {
    const ring = nearRingAt(mesh, fans, i, leastRadii);
    if (ring !== null) rings.push(ringOf(mesh, ring));
  }
  return rings;
}

/** What lies round some rings, in their order. It takes a look at the whole mesh, so it is asked of few. */
export function surroundingsOf(mesh: TriangleMesh, rings: readonly Ring[]): Surroundings[] {
  if (rings.length === 0) return [];
  const { positions: p, triangles } = mesh;
  const vertices = [...new Set(rings.flatMap(({ close }) => close))];
  const fans = fansAt(mesh, vertices);
  const number = new Map(vertices.map((v, i) => [v, i]));
  return rings.map((ring) => {
    const { v, around, close, radius, middle } = ring;
    const own = new Set([v, ...around]);
    const beyond = new Set<number>();
    for (const w of close) {
      const i = number.get(w)!;
      for (const t of fans.triangles.subarray(fans.start[i], fans.start[i + 1])) {
        for (let k = 3 * t; k < 3 * t + 3; k++) if (!own.has(triangles[k]!)) beyond.add(triangles[k]!);
      }
    }
    const isNear = (w: number) => {
      const radii = Math.sqrt(squaredDistance(p, w, ...middle)) / radius;
      return radii > spacing[0] && radii < spacing[1];
    };
    return {
      relief: reliefOf(p, [...beyond], ring, 2 * ringReach),
      all: beyond.size,
      near: [...beyond].filter(isNear).length,
    };
  });
}

/** The triangles at some vertices. */
interface Fans {
  readonly vertices: readonly number[];
  /** The triangles at vertex i of the list are `triangles[start[i]] … triangles[start[i + 1] - 1]`. */
  readonly start: Uint32Array;
  readonly triangles: Uint32Array;
}

function fansAt({ positions, triangles }: TriangleMesh, vertices: readonly number[]): Fans {
  const places = new Int32Array(positions.length / 3);
  for (let i = 0; i < vertices.length; i++) places[vertices[i]!] = i + 1;
  const found = new GrowingUint32();
  inBatches(triangles.length, (from, to) => findCorners(triangles, places, from, to, found), 3);
  const corners = found.take();
  const start = new Uint32Array(vertices.length + 1);
  for (let k = 0; k < corners.length; k++) start[places[triangles[corners[k]!]!]!]!++;
  for (let i = 0; i < vertices.length; i++) start[i + 1]! += start[i]!;
  const filled = start.slice();
  const fans = new Uint32Array(corners.length);
  for (let k = 0; k < corners.length; k++) {
    fans[filled[places[triangles[corners[k]!]!]! - 1]!++] = Math.floor(corners[k]! / 3);
  }
  return { vertices, start, triangles: fans };
}

/** Finds the corners at vertices that have a place: few of a mesh. */
function findCorners(triangles: Uint32Array, places: Int32Array, from: number, to: number, found: GrowingUint32): void {
  for (let i = from; i < to; i++) if (places[triangles[i]!] !== 0) found.push(i);
}

/** A vertex with more neighbours is the hub of a wheel, and has no ring. */
const mostAround = 256;
/** Rings are walked round thousands of vertices, so nothing is made anew for each. */
const aroundNow = new Uint32Array(mostAround);

/** Walks round a vertex of the list: its neighbours go to `aroundNow`. @returns how many, or 0 where they make no ring */
function walkRound(corners: Uint32Array, fans: Fans, i: number): number {
  const v = fans.vertices[i]!;
  const from = fans.start[i]!;
  const to = fans.start[i + 1]!;
  const count = to - from;
  if (count < 3 || count > mostAround) return 0;
  let at = -1;
  for (let step = 0; step <= count; step++) {
    // The triangle that begins at the neighbour which the last one has ended at.
    let next = -1;
    for (let k = from; k < to && next < 0; k++) {
      const t = 3 * fans.triangles[k]!;
      const corner = corners[t] === v ? t : corners[t + 1] === v ? t + 1 : t + 2;
      const first = corners[corner === t + 2 ? t : corner + 1]!;
      if (at >= 0 && first !== at) continue;
      if (at < 0) aroundNow[0] = first;
      next = corners[corner === t ? t + 2 : corner - 1]!;
    }
    if (next < 0) return 0;
    if (next === aroundNow[0]) return step + 1 === count ? count : 0;
    if (step + 1 < count) aroundNow[step + 1] = next;
    at = next;
  }
  return 0;
}

/** A ring as far as it is told of every vertex that is asked about. */
type NearRing = Pick<Ring, 'v' | 'around' | 'middle' | 'radius' | 'triangle' | 'close' | 'typical' | 'normal' | 'area'>;

/** The near ring of vertex i of the list; null where it has none, or is no farther off than so many radii. */
function nearRingAt(mesh: TriangleMesh, fans: Fans, i: number, leastRadii: number): NearRing | null {
  const { positions: p } = mesh;
  const count = walkRound(mesh.triangles, fans, i);
  if (count === 0) return null;
  const v = fans.vertices[i]!;
  const vx = p[3 * v]!;
  const vy = p[3 * v + 1]!;
  const vz = p[3 * v + 2]!;
  let least = Infinity;
  for (let k = 0; k < count; k++) least = Math.min(least, squaredDistance(p, aroundNow[k]!, vx, vy, vz));
  const limit = near * near * least;
  let closeCount = 0;
  for (let k = 0; k < count; k++) if (squaredDistance(p, aroundNow[k]!, vx, vy, vz) <= limit) closeCount++;
  let mx = 0;
  let my = 0;
  let mz = 0;
  for (let k = 0; k < count; k++) {
    const w = 3 * aroundNow[k]!;
    if (squaredDistance(p, aroundNow[k]!, vx, vy, vz) > limit) continue;
    mx += p[w]! / closeCount;
    my += p[w + 1]! / closeCount;
    mz += p[w + 2]! / closeCount;
  }
  let typical = 0;
  for (let k = 0; k < count; k++) {
    if (squaredDistance(p, aroundNow[k]!, vx, vy, vz) > limit) continue;
    typical += Math.sqrt(squaredDistance(p, aroundNow[k]!, mx, my, mz)) / closeCount;
  }
  // The area vector is the sum over the fan from the middle; a neighbour far off is drawn near.
  const reach = ringReach * typical;
  let nx = 0;
  let ny = 0;
  let nz = 0;
  let ax = 0;
  let ay = 0;
  let az = 0;
  for (let k = 0; k <= count; k++) {
    const w = aroundNow[k < count ? k : 0]!;
    const share = Math.min(1, reach / Math.sqrt(squaredDistance(p, w, mx, my, mz)));
    const bx = share * (p[3 * w]! - mx);
    const by = share * (p[3 * w + 1]! - my);
    const bz = share * (p[3 * w + 2]! - mz);
    nx += (ay * bz - az * by) / 2;
    ny += (az * bx - ax * bz) / 2;
    nz += (ax * by - ay * bx) / 2;
    ax = bx;
    ay = by;
    az = bz;
  }
  const area = Math.sqrt(nx * nx + ny * ny + nz * nz);
  if (!(area > 0)) return null;
  const radius = Math.sqrt(area / Math.PI);
  if (Math.sqrt(squaredDistance(p, v, mx, my, mz)) <= leastRadii * radius) return null;
  const around = Array.from(aroundNow.subarray(0, count));
  return {
    v,
    around,
    middle: [mx, my, mz],
    radius,
    triangle: fans.triangles[fans.start[i]!]!,
    close: around.filter((w) => squaredDistance(p, w, vx, vy, vz) <= limit),
    typical,
    normal: [nx, ny, nz],
    area,
  };
}

function squaredDistance(p: Float64Array, v: number, x: number, y: number, z: number): number {
  const dx = p[3 * v]! - x;
  const dy = p[3 * v + 1]! - y;
  const dz = p[3 * v + 2]! - z;
  return dx * dx + dy * dy + dz * dz;
}

/** A place seen from the middle, drawn near where it is farther off than `most`. */
function drawnTo([x, y, z]: Vec3, most: number): Vec3 {
  const share = Math.min(1, most / Math.hypot(x, y, z));
  return [x * share, y * share, z * share];
}

function ringOf({ positions: p }: TriangleMesh, ring: NearRing): Ring {
  const { v, around, middle } = ring;
  const tip = fromMiddle(p, v, middle);
  const neighbours = around.map((w) => fromMiddle(p, w, middle));
  return {
    ...ring,
    areaVector: areaVectorOf(neighbours),
    relief: reliefOf(p, around, ring, ringReach),
    off: Math.hypot(...tip),
    height: heightOver(tip, ring),
    isPoint: neighbours.every((place) => cosine(tip, minus(place, tip)) < 0.3),
  };
}

function fromMiddle(p: Float64Array, v: number, middle: Vec3): Vec3 {
  return minus([p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!], middle);
}

/** Height of a place, seen from the middle, over the near ring's plane. */
function heightOver([x, y, z]: Vec3, { normal, area }: NearRing): number {
  return (x * normal[0] + y * normal[1] + z * normal[2]) / area;
}

/** Root mean square of some vertices' heights, drawn near to so many typical distances. */
function reliefOf(p: Float64Array, vertices: readonly number[], ring: NearRing, reach: number): number {
  let sum = 0;
  for (const w of vertices) {
    sum += heightOver(drawnTo(fromMiddle(p, w, ring.middle), reach * ring.typical), ring) ** 2;
  }
  return Math.sqrt(sum / Math.max(1, vertices.length));
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
