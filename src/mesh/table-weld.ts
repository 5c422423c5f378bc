import { type Float32Store, hashOfBits, hashOfVertex, magnitudeBits } from './float32-store.js';

/** Triangles whose places in the table are fetched together: enough to hide the wait, few enough to stay in the cache. */
const groupTriangles = 64;
/** Per corner of a group: the bits of x, y and z, and its first place in the table. */
const group = new Int32Array(12 * groupTriangles);
const groupNumbers = new Float32Array(group.buffer);

/**
 * A weld for triangles in any order: an open-addressing hash table over all vertices that grows before it is half full.
 * Nearly all of its time is waiting for memory, so many places are looked at together first.
 */
export class TableWeld {
  /** Per slot: vertex + 1 (0: free), then the bits of its x, y and z. A look-up waits for one cache line, not for two. */
  private table: Int32Array;
  /** What was seen in the table ahead of time: kept only so that the look at it is not left out as idle. */
  protected seen = 0;

  /** Knows the vertices that the store has already; these must be distinct. */
  constructor(store: Float32Store) {
    this.table = new Int32Array(0);
    this.makeTable(store, store.positions.length / 3);
  }

  /** As `RecentWeld.addBatch`. */
  addBatch(
    store: Float32Store,
    view: DataView,
    start: number,
    stride: number,
    count: number,
    limitBits: number,
  ): number {
    if (8 * (store.vertices + 3 * count) > this.table.length) this.makeTable(store, 2 * store.vertices + 3 * count);
    const { positions, corners } = store;
    const { table } = this;
    const mask = table.length - 1;
    let { vertices } = store;
    let put = store.cornersFilled;
    let done = 0;
    let isGood = true;
    while (done < count && isGood) {
      const end = Math.min(count, done + groupTriangles);
      // First only where to look for each corner, ...
      let filled = 0;
      for (; done < end; done++) {
        const at = start + done * stride;
        for (let k = at; k < at + 36; k += 12) {
          const x = view.getInt32(k, true);
          const y = view.getInt32(k + 4, true);
          const z = view.getInt32(k + 8, true);
          const xSize = x & magnitudeBits;
          const ySize = y & magnitudeBits;
          const zSize = z & magnitudeBits;
          if (xSize > limitBits || ySize > limitBits || zSize > limitBits) isGood = false;
          const xBits = xSize === 0 ? 0 : x;
          const yBits = ySize === 0 ? 0 : y;
          const zBits = zSize === 0 ? 0 : z;
          group[filled] = xBits;
          group[filled + 1] = yBits;
          group[filled + 2] = zBits;
          group[filled + 3] = (hashOfBits(xBits, yBits, zBits) << 2) & mask;
          filled += 4;
        }
        if (isGood) continue;
        filled = 12 * Math.floor((filled - 1) / 12);
        break;
      }
      // ... then a look at all these places, none of which waits for another, so that memory is ready for the real one.
      let seen = 0;
      for (let c = 3; c < filled; c += 4) seen |= table[group[c]!]!;
      this.seen = seen;
      for (let c = 0; c < filled; c += 4) {
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
          positions[key] = groupNumbers[c]!;
          positions[key + 1] = groupNumbers[c + 1]!;
          positions[key + 2] = groupNumbers[c + 2]!;
          entry = ++vertices;
          table[slot] = entry;
          table[slot + 1] = x;
          table[slot + 2] = y;
          table[slot + 3] = z;
        }
        corners[put++] = entry - 1;
      }
    }
    store.vertices = vertices;
    store.cornersFilled = put;
    return done;
  }

  private makeTable({ positions, vertices }: Float32Store, room: number): void {
    const table = new Int32Array(4 * 2 ** Math.ceil(Math.log2(2 * Math.max(256, room) + 2)));
    const floats = new Float32Array(table.buffer);
    const mask = table.length - 1;
    for (let v = 0; v < vertices; v++) {
      let slot = (hashOfVertex(positions, v) << 2) & mask;
      while (table[slot] !== 0) slot = (slot + 4) & mask;
      table[slot] = v + 1;
      floats[slot + 1] = positions[3 * v]!;
      floats[slot + 2] = positions[3 * v + 1]!;
      floats[slot + 3] = positions[3 * v + 2]!;
    }
    this.table = table;
  }
}
