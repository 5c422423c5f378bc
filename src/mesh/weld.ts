/**
 * Welding: vertices at bitwise equal coordinates become one, numbered in the order they first come.
 * -0 counts as 0; coordinates must be finite. Both welds are open-addressing hash tables over the coordinates' bits
 * that grow before they are half full. How they were chosen: docs/decisions/weld.md.
 */
export class Weld {
  private table: Int32Array;
  private coordinates: Float64Array<ArrayBuffer>;
  private vertices = 0;

  /** @param expected how many different vertices to make room for; more may come */
  constructor(expected = 512) {
    this.table = new Int32Array(tableSize(expected));
    this.coordinates = new Float64Array(3 * Math.max(16, expected));
  }

  get count(): number {
    return this.vertices;
  }

  /** Index of the vertex at (x, y, z). */
  add(x: number, y: number, z: number): number {
    const { coordinates, table } = this;
    const mask = table.length - 1;
    let slot = hashOfNumbers(x, y, z) & mask;
    for (let entry = table[slot]!; entry !== 0; entry = table[slot]!) {
      const at = 3 * entry - 3;
      if (coordinates[at] === x && coordinates[at + 1] === y && coordinates[at + 2] === z) return entry - 1;
      slot = (slot + 1) & mask;
    }
    return this.insert(slot, x, y, z);
  }

  /** Writes a vertex's x, y, z to `into` from place `at` on. */
  read(vertex: number, into: Float64Array, at: number): void {
    into[at] = this.coordinates[3 * vertex]!;
    into[at + 1] = this.coordinates[3 * vertex + 1]!;
    into[at + 2] = this.coordinates[3 * vertex + 2]!;
  }

  /** x, y, z per vertex: stride 3. The weld gives them up and is empty after it. */
  takePositions(): Float64Array<ArrayBuffer> {
    const taken = exactly(this.coordinates, 3 * this.vertices);
    this.coordinates = new Float64Array(0);
    this.table = new Int32Array(0);
    this.vertices = 0;
    return taken;
  }

  private insert(slot: number, x: number, y: number, z: number): number {
    const vertex = this.vertices++;
    if (3 * this.vertices > this.coordinates.length) this.coordinates = enlarged(this.coordinates);
    // Adding 0 turns -0 into 0.
    this.coordinates[3 * vertex] = x + 0;
    this.coordinates[3 * vertex + 1] = y + 0;
    this.coordinates[3 * vertex + 2] = z + 0;
    this.table[slot] = vertex + 1;
    if (2 * this.vertices > this.table.length) this.rehash();
    return vertex;
  }

  private rehash(): void {
    const table = new Int32Array(2 * this.table.length);
    const mask = table.length - 1;
    const { coordinates } = this;
    for (let vertex = 0, at = 0; vertex < this.vertices; vertex++, at += 3) {
      let slot = hashOfNumbers(coordinates[at]!, coordinates[at + 1]!, coordinates[at + 2]!) & mask;
      while (table[slot] !== 0) slot = (slot + 1) & mask;
      table[slot] = vertex + 1;
    }
    this.table = table;
  }
}

/**
 * The same for triangles of float32 coordinates, straight from the bytes of a file: one loop that keeps all it needs at
 * hand, as more than a million of them should not be waited for.
 */
export class Float32Weld {
  /** Per slot: vertex + 1 (0: free), then the bits of its x, y and z. A look-up waits for one cache line, not for two. */
  private table: Int32Array;
  /** The bits of x, y and z per vertex. */
  private coordinates: Int32Array;
  private vertices = 0;
  /** What was seen in the table ahead of time: kept only so that the look at it is not left out as idle. */
  protected seen = 0;

  /** @param expected how many different vertices to make room for; more may come */
  constructor(expected = 512) {
    this.table = new Int32Array(4 * tableSize(expected));
    this.coordinates = new Int32Array(3 * Math.max(16, expected));
  }

  /**
   * Welds the corners of `count` triangles, nine little-endian float32 numbers each, the first at byte `at` of `view`
   * and the others `stride` bytes apart. Their vertices are written to `into` from place `put` on.
   * @returns how many were welded: fewer than `count` where the next has a coordinate that is not finite, or whose
   * magnitude is over `limit`
   */
  addTriangles(
    view: DataView,
    at: number,
    stride: number,
    count: number,
    into: Uint32Array,
    put: number,
    limit: number,
  ): number {
    for (let done = 0; done < count; ) {
      const batch = Math.min(batchTriangles, count - done);
      this.makeRoom(3 * batch);
      const welded = this.addBatch(view, at + done * stride, stride, batch, into, put + 3 * done, bitsOf(limit));
      done += welded;
      if (welded < batch) return done;
    }
    return count;
  }

  /** x, y, z per vertex: stride 3. The weld gives them up and is empty after it. */
  takePositions(): Float64Array<ArrayBuffer> {
    const floats = new Float32Array(this.coordinates.buffer);
    const positions = new Float64Array(3 * this.vertices);
    for (let i = 0; i < positions.length; i++) positions[i] = floats[i]!;
    this.coordinates = new Int32Array(0);
    this.table = new Int32Array(0);
    this.vertices = 0;
    return positions;
  }

  /** So that the loop over a batch need not ask. */
  private makeRoom(more: number): void {
    const needed = this.vertices + more;
    if (3 * needed > this.coordinates.length) {
      const larger = new Int32Array(Math.max(3 * needed, 2 * this.coordinates.length));
      larger.set(this.coordinates);
      this.coordinates = larger;
    }
    if (8 * needed <= this.table.length) return;
    const old = this.table;
    const table = new Int32Array(4 * tableSize(needed));
    const mask = table.length - 1;
    for (let from = 0; from < old.length; from += 4) {
      if (old[from] === 0) continue;
      let slot = (hashOfBits(old[from + 1]!, old[from + 2]!, old[from + 3]!) << 2) & mask;
      while (table[slot] !== 0) slot = (slot + 4) & mask;
      for (let k = 0; k < 4; k++) table[slot + k] = old[from + k]!;
    }
    this.table = table;
  }

  private addBatch(
    view: DataView,
    start: number,
    stride: number,
    count: number,
    into: Uint32Array,
    firstPut: number,
    limitBits: number,
  ): number {
    const { coordinates, table } = this;
    const mask = table.length - 1;
    let { vertices } = this;
    let put = firstPut;
    let done = 0;
    let isGood = true;
    while (done < count && isGood) {
      const end = Math.min(count, done + groupTriangles);
      // First only where to look for each corner, ...
      let corners = 0;
      for (; done < end; done++) {
        const at = start + done * stride;
        for (let k = at; k < at + 36; k += 12) {
          const x = view.getInt32(k, true);
          const y = view.getInt32(k + 4, true);
          const z = view.getInt32(k + 8, true);
          // Without the sign, float32 bits are in the order of their values; those of infinity and NaN come last.
          const xSize = x & magnitudeBits;
          const ySize = y & magnitudeBits;
          const zSize = z & magnitudeBits;
          if (xSize > limitBits || ySize > limitBits || zSize > limitBits) isGood = false;
          const xBits = xSize === 0 ? 0 : x;
          const yBits = ySize === 0 ? 0 : y;
          const zBits = zSize === 0 ? 0 : z;
          group[corners] = xBits;
          group[corners + 1] = yBits;
          group[corners + 2] = zBits;
          group[corners + 3] = (hashOfBits(xBits, yBits, zBits) << 2) & mask;
          corners += 4;
        }
        if (isGood) continue;
        corners = 12 * Math.floor((corners - 1) / 12);
        break;
      }
      // ... then a look at all these places, none of which waits for another, so that memory is ready for the real one.
      let seen = 0;
      for (let c = 3; c < corners; c += 4) seen |= table[group[c]!]!;
      this.seen = seen;
      for (let c = 0; c < corners; c += 4) {
        const x = group[c]!;
        const y = group[c + 1]!;
        const z = group[c + 2]!;
        let slot = group[c + 3]!;
        let entry = table[slot]!;
        while (entry !== 0 && (table[slot + 1] !== x || table[slot + 2] !== y || table[slot + 3] !== z)) {
          slot = (slot + 4) & mask;
          entry = table[slot]!;
        }
        if (entry === 0) {
          const key = 3 * vertices;
          coordinates[key] = x;
          coordinates[key + 1] = y;
          coordinates[key + 2] = z;
          entry = ++vertices;
          table[slot] = entry;
          table[slot + 1] = x;
          table[slot + 2] = y;
          table[slot + 3] = z;
        }
        into[put++] = entry - 1;
      }
    }
    this.vertices = vertices;
    return done;
  }
}

const batchTriangles = 4096;

/** Triangles whose places in the table are fetched together: enough to hide the wait, few enough to stay in the cache. */
const groupTriangles = 64;
/** Per corner of a group: the bits of x, y and z, and its first place in the table. */
const group = new Int32Array(12 * groupTriangles);

const magnitudeBits = 0x7fffffff;

function bitsOf(value: number): number {
  return new Int32Array(Float32Array.of(value).buffer)[0]!;
}

const asNumbers = new Float64Array(3);
const numberBits = new Int32Array(asNumbers.buffer);

function hashOfNumbers(x: number, y: number, z: number): number {
  asNumbers[0] = x + 0;
  asNumbers[1] = y + 0;
  asNumbers[2] = z + 0;
  return hashOfBits(
    numberBits[0]! ^ Math.imul(numberBits[1]!, 0x27d4eb2f),
    numberBits[2]! ^ Math.imul(numberBits[3]!, 0x27d4eb2f),
    numberBits[4]! ^ Math.imul(numberBits[5]!, 0x27d4eb2f),
  );
}

/** Odd multipliers spread each coordinate; the shifts bring the high bits, where coordinates differ, down to the low. */
function hashOfBits(x: number, y: number, z: number): number {
  let hash = Math.imul(x, 0x9e3779b1) ^ Math.imul(y, 0x85ebca6b) ^ Math.imul(z, 0xc2b2ae35);
  hash ^= hash >>> 15;
  hash = Math.imul(hash, 0x2c1b3c6d);
  return hash ^ (hash >>> 13);
}

function tableSize(expected: number): number {
  return 2 ** Math.ceil(Math.log2(2 * Math.max(256, expected) + 2));
}

function enlarged(array: Float64Array<ArrayBuffer>): Float64Array<ArrayBuffer> {
  const larger = new Float64Array(2 * array.length);
  larger.set(array);
  return larger;
}

function exactly(array: Float64Array<ArrayBuffer>, length: number): Float64Array<ArrayBuffer> {
  return array.length === length ? array : array.slice(0, length);
}
