/**
 * What a weld of float32 triangles fills: vertices in the order they first come, and the corners that name them.
 * Arrays grow; whoever keeps one at hand takes it anew after `makeRoom`.
 */
export class Float32Store {
  /** x, y and z per vertex: stride 3, each a float32 number; -0 is stored as 0. */
  positions: Float64Array<ArrayBuffer>;
  vertices = 0;
  /** A vertex per corner, three a triangle. */
  corners: Uint32Array<ArrayBuffer>;
  cornersFilled = 0;

  /** @param triangles how many to make room for; more may come */
  constructor(triangles: number) {
    this.corners = new Uint32Array(3 * triangles);
    // A closed surface has half as many vertices as triangles; holes and seams add a few.
    this.positions = new Float64Array(3 * (Math.ceil(0.52 * triangles) + 16));
  }

  /** So that the loop over a batch of triangles need not ask. */
  makeRoom(triangles: number): void {
    this.positions = roomy(this.positions, 3 * (this.vertices + 3 * triangles), Float64Array);
    this.corners = roomy(this.corners, this.cornersFilled + 3 * triangles, Uint32Array);
  }

  /** x, y, z per vertex and three vertices a triangle. The store gives them up. */
  take(): { positions: Float64Array<ArrayBuffer>; triangles: Uint32Array<ArrayBuffer> } {
    const positions = filled(this.positions, 3 * this.vertices);
    const triangles = filled(this.corners, this.cornersFilled);
    this.positions = new Float64Array(0);
    this.corners = new Uint32Array(0);
    this.vertices = 0;
    this.cornersFilled = 0;
    return { positions, triangles };
  }
}

function roomy<T extends Float64Array<ArrayBuffer> | Uint32Array<ArrayBuffer>>(
  array: T,
  needed: number,
  kind: new (size: number) => T,
): T {
  if (needed <= array.length) return array;
  const larger = new kind(Math.max(needed, 2 * array.length));
  larger.set(array);
  return larger;
}

/** The filled part of an array: where little is left over it stays where it is, since new memory costs more. */
function filled<T extends Float64Array<ArrayBuffer> | Uint32Array<ArrayBuffer>>(array: T, length: number): T {
  return (length > 0.9 * array.length ? array.subarray(0, length) : array.slice(0, length)) as T;
}

const three = new Float32Array(3);
const threeBits = new Int32Array(three.buffer);

/** The hash of a vertex of the store, as `hashOfBits` of its float32 numbers. */
export function hashOfVertex(positions: Float64Array, vertex: number): number {
  three[0] = positions[3 * vertex]!;
  three[1] = positions[3 * vertex + 1]!;
  three[2] = positions[3 * vertex + 2]!;
  return hashOfBits(threeBits[0]!, threeBits[1]!, threeBits[2]!);
}

/** Odd multipliers spread each coordinate; the shifts bring the high bits, where coordinates differ, down to the low. */
export function hashOfBits(x: number, y: number, z: number): number {
  let hash = Math.imul(x, 0x9e3779b1) ^ Math.imul(y, 0x85ebca6b) ^ Math.imul(z, 0xc2b2ae35);
  hash ^= hash >>> 15;
  hash = Math.imul(hash, 0x2c1b3c6d);
  return hash ^ (hash >>> 13);
}

/** Without the sign, float32 bits are in the order of their values; those of infinity and NaN come last. */
export const magnitudeBits = 0x7fffffff;

/** The bits of -0, the smallest int32. */
export const minusZeroBits = -0x80000000;
