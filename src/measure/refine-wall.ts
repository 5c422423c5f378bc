import { GrowingFloat64, GrowingUint32 } from '../base/growing.js';
import type { TaskOptions } from '../base/source.js';
import type { FillBody } from '../cavity/fill-body.js';
import { inPieces, memoryFor, type PieceWork, rangeOf } from './pieces.js';

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

const chunkFaces = 8192;

/**
 * Halves edges of a wall until each is short enough for both its ends. Whether an edge is halved depends on that edge
 * alone, so faces that share it stay joined without gaps. Faces are looked through in pieces; those with a long edge, few
 * on a fine mesh, are cut in one go.
 *
 * @param longest per vertex: how long an edge may be that ends there
 * @param longestAt the same for a vertex that is added; asked once for each, in their order
 */
export async function refineWall(
  body: Pick<FillBody, 'positions' | 'triangles' | 'wallTriangles'>,
  longest: Float64Array,
  longestAt: (x: number, y: number) => number,
  task: TaskOptions = {},
): Promise<RefinedWall> {
  const { positions, triangles, wallTriangles: count } = body;
  const isLong = new Uint8Array(memoryFor(task)(count));
  await inPieces(longPieces, { positions, triangles, longest, isLong }, Math.ceil(count / chunkFaces), task);
  const refiner = new Refiner(positions, longest, longestAt);
  const parts = partsOf(refiner, triangles, isLong);
  return joined(refiner, positions, triangles, isLong, parts, task);
}

interface LongTask {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly longest: Float64Array;
  /** Per face, to be filled in: has it an edge that is too long? */
  readonly isLong: Uint8Array;
}

export const longPieces: PieceWork<LongTask> = {
  name: 'long edges',
  open: (input) => input,
  take({ positions, triangles, longest, isLong }, piece) {
    const [from, to] = rangeOf(piece, chunkFaces, isLong.length);
    for (let f = from; f < to; f++) {
      for (let corner = 0; corner < 3; corner++) {
        const a = triangles[3 * f + corner]!;
        const b = triangles[3 * f + (corner === 2 ? 0 : corner + 1)]!;
        const dx = positions[3 * b]! - positions[3 * a]!;
        const dy = positions[3 * b + 1]! - positions[3 * a + 1]!;
        const dz = positions[3 * b + 2]! - positions[3 * a + 2]!;
        if (isTooLong(dx, dy, dz, longest[a]!, longest[b]!)) isLong[f] = 1;
      }
    }
  },
};

function isTooLong(dx: number, dy: number, dz: number, mostA: number, mostB: number): boolean {
  const most = Math.min(mostA, mostB);
  return dx * dx + dy * dy + dz * dz > most * most;
}

/** Cuts all faces that have a long edge. @returns how many parts each of them became */
function partsOf(refiner: Refiner, triangles: Uint32Array, isLong: Uint8Array): GrowingUint32 {
  const parts = new GrowingUint32();
  for (let f = 0; f < isLong.length; f++) {
    if (isLong[f] === 0) continue;
    const before = refiner.faces.length;
    refiner.cut(triangles[3 * f]!, triangles[3 * f + 1]!, triangles[3 * f + 2]!);
    parts.push((refiner.faces.length - before) / 3);
  }
  return parts;
}

/** All faces in their order, those that were cut replaced by their parts. */
function joined(
  { faces, added }: Refiner,
  given: Float64Array,
  triangles: Uint32Array,
  isLong: Uint8Array,
  parts: GrowingUint32,
  task: TaskOptions,
): RefinedWall {
  const memory = memoryFor(task);
  const count = isLong.length - parts.length + faces.length / 3;
  const positions = new Float64Array(memory(8 * (given.length + added.length)));
  positions.set(given);
  for (let i = 0; i < added.length; i++) positions[given.length + i] = added.at(i);
  const all = new Uint32Array(memory(12 * count));
  const partOf = new Uint32Array(memory(4 * count));
  let at = 0;
  let cut = 0;
  for (let f = 0, k = 0; f < isLong.length; f++) {
    if (isLong[f] === 0) {
      for (let corner = 0; corner < 3; corner++) all[3 * at + corner] = triangles[3 * f + corner]!;
      partOf[at++] = f;
      continue;
    }
    for (let part = parts.at(k++); part > 0; part--) {
      for (let corner = 0; corner < 3; corner++) all[3 * at + corner] = faces.at(cut++);
      partOf[at++] = f;
    }
  }
  return { positions, triangles: all, partOf };
}

const uncut = -1;

class Refiner {
  /** Three vertex indices per part. */
  readonly faces = new GrowingUint32();
  /** x, y, z per vertex that was added. */
  readonly added = new GrowingFloat64();
  private readonly longestAdded = new GrowingFloat64();
  private readonly middles = new Map<number, number>();

  constructor(
    private readonly given: Float64Array,
    private readonly longest: Float64Array,
    private readonly longestAt: (x: number, y: number) => number,
  ) {}

  cut(a: number, b: number, c: number): void {
    const ab = this.middle(a, b);
    const bc = this.middle(b, c);
    const ca = this.middle(c, a);
    const cuts = Number(ab !== uncut) + Number(bc !== uncut) + Number(ca !== uncut);
    if (cuts === 0) {
      this.faces.push(a);
      this.faces.push(b);
      this.faces.push(c);
    } else if (cuts === 3) {
      this.cut(a, ab, ca);
      this.cut(ab, b, bc);
      this.cut(ca, bc, c);
      this.cut(ab, bc, ca);
    } else if (cuts === 1) {
      // Turned so that the one cut lies on the first edge.
      const [p, q, r, m] = ab !== uncut ? [a, b, c, ab] : bc !== uncut ? [b, c, a, bc] : [c, a, b, ca];
      this.cut(p, m, r);
      this.cut(m, q, r);
    } else {
      // Turned so that the edge without a cut is the last one; the corner between the cuts comes off.
      const [p, q, r, m, n] = ca === uncut ? [a, b, c, ab, bc] : ab === uncut ? [b, c, a, bc, ca] : [c, a, b, ca, ab];
      this.cut(m, q, n);
      this.cut(p, m, n);
      this.cut(p, n, r);
    }
  }

  /** The middle of an edge, `uncut` where it is short enough. */
  private middle(a: number, b: number): number {
    const ax = this.at(3 * a);
    const ay = this.at(3 * a + 1);
    const az = this.at(3 * a + 2);
    const bx = this.at(3 * b);
    const by = this.at(3 * b + 1);
    const bz = this.at(3 * b + 2);
    if (!isTooLong(bx - ax, by - ay, bz - az, this.longestOf(a), this.longestOf(b))) return uncut;
    const key = Math.min(a, b) * mostVertices + Math.max(a, b);
    const known = this.middles.get(key);
    if (known !== undefined) return known;
    const vertex = this.addPoint((ax + bx) / 2, (ay + by) / 2, (az + bz) / 2);
    this.middles.set(key, vertex);
    return vertex;
  }

  private addPoint(x: number, y: number, z: number): number {
    this.added.push(x);
    this.added.push(y);
    this.added.push(z);
    this.longestAdded.push(this.longestAt(x, y));
    return this.longest.length + this.longestAdded.length - 1;
  }

  private at(o: number): number {
    return o < this.given.length ? this.given[o]! : this.added.at(o - this.given.length);
  }

  private longestOf(vertex: number): number {
    const { longest } = this;
    return vertex < longest.length ? longest[vertex]! : this.longestAdded.at(vertex - longest.length);
  }
}
