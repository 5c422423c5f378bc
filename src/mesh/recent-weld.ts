import { inBatches } from '../base/batches.js';
import { type Float32Store, hashOfBits, hashOfVertex, magnitudeBits, minusZeroBits } from './float32-store.js';

/** Sets of four places, for the vertices met lately: some dozen rows of a large scan. A set is one line of the cache. */
const sets = 2 ** 13;
/** A place is the bits of a vertex's x, y and z, and its number + 1; 0: free. */
const placeSize = 4;
const setSize = 4 * placeSize;
/** Bits a vertex in the memory of what was met at all: one new vertex in a hundred is then taken for a known one. */
const bitsPerVertex = 16;

/**
 * A weld for triangles whose neighbours come soon after them, as in nearly every file. A corner is looked for among
 * the vertices met lately. What is not there is a new vertex if a bit set that remembers all vertices (Bloom 1970, two
 * bits in one word) has not seen it; else it is taken for new all the same, and put on a list of doubts, which `settle`
 * goes through once. So no corner waits for memory far away.
 */
export class RecentWeld {
  /** Per set the last four vertices that came to it, the latest first. */
  private readonly recent = new Int32Array(sets * setSize);
  /** The same as numbers. */
  private readonly recentNumbers = new Float32Array(this.recent.buffer);
  private met: Int32Array;
  /** Vertices that may be there twice, in ascending order. */
  private doubts = new Uint32Array(1024);
  private doubtful = 0;

  /** @param vertices how many to expect; more may come */
  constructor(vertices: number) {
    this.met = bitSet(vertices);
  }

  /** Whether so many are in doubt that the triangles are in no order at all, and a table of all vertices is cheaper. */
  isAtALoss(store: Float32Store): boolean {
    return this.doubtful > 4096 + store.vertices / 8;
  }

  /**
   * Welds the corners of `count` triangles, the first at byte `start` of `view`, the others `stride` bytes apart. The
   * store has room for them.
   * @returns how many were welded: fewer where the next has a coordinate whose magnitude is over that of `limitBits`
   */
  addBatch(
    store: Float32Store,
    view: DataView,
    start: number,
    stride: number,
    count: number,
    limitBits: number,
  ): number {
    this.makeRoom(store, 3 * count);
    const { positions, corners } = store;
    const { recent, recentNumbers, met, doubts } = this;
    const words = met.length - 1;
    let { vertices } = store;
    let put = store.cornersFilled;
    let { doubtful } = this;
    let done = 0;
    for (let at = start; done < count; done++, at += stride) {
      for (let k = at; k < at + 36; k += 12) {
        let x = view.getInt32(k, true);
        let y = view.getInt32(k + 4, true);
        let z = view.getInt32(k + 8, true);
        if (x === minusZeroBits) x = 0;
        if (y === minusZeroBits) y = 0;
        if (z === minusZeroBits) z = 0;
        const hash = hashOfBits(x, y, z);
        const set = (hash & (sets - 1)) * setSize;
        let place = set;
        while (
          place < set + setSize &&
          (recent[place] !== x || recent[place + 1] !== y || recent[place + 2] !== z || recent[place + 3] === 0)
        ) {
          place += placeSize;
        }
        if (place < set + setSize) {
          corners[put++] = recent[place + 3]! - 1;
          continue;
        }
        if ((x & magnitudeBits) > limitBits || (y & magnitudeBits) > limitBits || (z & magnitudeBits) > limitBits) {
          // Only of a new vertex this is asked. The corners before it in its triangle are forgotten.
          this.doubtful = doubtful;
          store.vertices = vertices;
          store.cornersFilled += 3 * done;
          return done;
        }
        const spread = Math.imul(hash, 0x21f0aaad);
        const word = (spread >>> 7) & words;
        const bits = (1 << spread) | (1 << (spread >>> 5));
        const seen = met[word]!;
        met[word] = seen | bits;
        // Written in any case and counted where it holds: a step to the side, rarely taken, would cost more.
        doubts[doubtful] = vertices;
        doubtful += (seen & bits) === bits ? 1 : 0;
        const key = 3 * vertices;
        corners[put++] = vertices++;
        recent[set + 15] = recent[set + 11]!;
        recent[set + 14] = recent[set + 10]!;
        recent[set + 13] = recent[set + 9]!;
        recent[set + 12] = recent[set + 8]!;
        recent[set + 11] = recent[set + 7]!;
        recent[set + 10] = recent[set + 6]!;
        recent[set + 9] = recent[set + 5]!;
        recent[set + 8] = recent[set + 4]!;
        recent[set + 7] = recent[set + 3]!;
        recent[set + 6] = recent[set + 2]!;
        recent[set + 5] = recent[set + 1]!;
        recent[set + 4] = recent[set + 0]!;
        recent[set] = x;
        recent[set + 1] = y;
        recent[set + 2] = z;
        recent[set + 3] = vertices;
        positions[key] = recentNumbers[set]!;
        positions[key + 1] = recentNumbers[set + 1]!;
        positions[key + 2] = recentNumbers[set + 2]!;
      }
    }
    this.doubtful = doubtful;
    store.vertices = vertices;
    store.cornersFilled = put;
    return done;
  }

  /** Looks every doubt up, and makes one of the vertices that are there twice: numbered in the order they first come. */
  settle(store: Float32Store): void {
    const { doubts, doubtful } = this;
    this.doubtful = 0;
    if (doubtful === 0) return;
    const first = firstOfDoubts(store, doubts.subarray(0, doubtful));
    if (first === null) return;
    const numbers = closeGaps(store, doubts.subarray(0, doubtful), first);
    inBatches(store.cornersFilled, (from, to) => renumber(store.corners, numbers, from, to));
  }

  private makeRoom(store: Float32Store, more: number): void {
    if (this.doubtful + more > this.doubts.length) {
      const larger = new Uint32Array(2 * (this.doubtful + more));
      larger.set(this.doubts);
      this.doubts = larger;
    }
    const needed = store.vertices + more;
    if (32 * this.met.length >= (bitsPerVertex * needed) / 2) return;
    this.met = bitSet(2 * needed);
    const words = this.met.length - 1;
    for (let v = 0; v < store.vertices; v++) {
      const spread = Math.imul(hashOfVertex(store.positions, v), 0x21f0aaad);
      this.met[(spread >>> 7) & words]! |= (1 << spread) | (1 << (spread >>> 5));
    }
  }
}

/**
 * Per doubt the first vertex at its coordinates: itself, where it was new; null where all were. One pass over all
 * vertices, which asks a table of the doubts only where a small filter lets a hash through.
 */
function firstOfDoubts({ positions, vertices }: Float32Store, doubts: Uint32Array): Uint32Array | null {
  // A bit for every value of the upper 20 bits of a hash.
  const filter = new Int32Array(2 ** 15);
  const mask = 2 ** Math.ceil(Math.log2(4 * doubts.length)) - 1;
  // Places hold a number of a doubt + 1; doubts at the same coordinates share the place of the first of them.
  const table = new Uint32Array(mask + 1);
  const leaderOf = (v: number, hash: number, enter: number): number => {
    let place = hash & mask;
    for (let entry = table[place]!; entry !== 0; entry = table[place]!) {
      const own = 3 * doubts[entry - 1]!;
      if (
        positions[own] === positions[3 * v] &&
        positions[own + 1] === positions[3 * v + 1] &&
        positions[own + 2] === positions[3 * v + 2]
      ) {
        return entry - 1;
      }
      place = (place + 1) & mask;
    }
    if (enter >= 0) table[place] = enter + 1;
    return enter;
  };
  const leaders = new Uint32Array(doubts.length);
  for (let i = 0; i < doubts.length; i++) {
    const hash = hashOfVertex(positions, doubts[i]!);
    filter[hash >>> 17]! |= 1 << (hash >>> 12);
    leaders[i] = leaderOf(doubts[i]!, hash, i);
  }
  const first = doubts.slice();
  let isAnyKnown = false;
  inBatches(vertices, (from, to) => {
    for (let v = from; v < to; v++) {
      const hash = hashOfVertex(positions, v);
      if (((filter[hash >>> 17]! >>> (hash >>> 12)) & 1) === 0) continue;
      const leader = leaderOf(v, hash, -1);
      if (leader < 0 || v >= first[leader]!) continue;
      first[leader] = v;
      isAnyKnown = true;
    }
  });
  if (!isAnyKnown && leaders.every((leader, i) => leader === i)) return null;
  return first.map((_, i) => first[leaders[i]!]!);
}

/** Moves the vertices up where others turned out to be known. @returns the new number of each old one */
function closeGaps(store: Float32Store, doubts: Uint32Array, first: Uint32Array): Uint32Array {
  const { positions, vertices } = store;
  const numbers = new Uint32Array(vertices);
  let next = 0;
  for (let v = 0, i = 0; v < vertices; ) {
    // Up to the next doubt that is another vertex; the one behind it begins a run of its own.
    while (i < doubts.length && first[i] === doubts[i]) i++;
    const end = i < doubts.length ? doubts[i]! : vertices;
    if (next !== v) positions.copyWithin(3 * next, 3 * v, 3 * end);
    for (; v < end; v++) numbers[v] = next++;
    if (v < vertices) numbers[v++] = numbers[first[i++]!]!;
  }
  store.vertices = next;
  return numbers;
}

function renumber(corners: Uint32Array, numbers: Uint32Array, from: number, to: number): void {
  for (let i = from; i < to; i++) corners[i] = numbers[corners[i]!]!;
}

/** A power of two of words. */
function bitSet(vertices: number): Int32Array {
  return new Int32Array(2 ** Math.ceil(Math.log2(Math.max(1024, (vertices * bitsPerVertex) / 32))));
}
