import { Float32Store } from './float32-store.js';
import { RecentWeld } from './recent-weld.js';
import { TableWeld } from './table-weld.js';

const batchTriangles = 4096;
/** The first batches are small: the loop is compiled soon, and should have been through to its end before. */
const firstTriangles = 64;

/**
 * Welds triangles of float32 coordinates, straight from the bytes of a file: corners at bitwise equal coordinates become
 * one vertex, numbered in the order they first come; -0 counts as 0. Neighbours are expected to come soon after each
 * other; where they turn out not to, a table of all vertices takes over. How the two were chosen: docs/decisions/weld.md.
 */
export class Float32Weld {
  private readonly store: Float32Store;
  private way: RecentWeld | TableWeld;
  private batch = firstTriangles;

  /** @param triangles how many to make room for; more may come */
  constructor(triangles = 1024) {
    this.store = new Float32Store(triangles);
    this.way = new RecentWeld(triangles / 2);
  }

  /**
   * Welds the corners of `count` triangles, nine little-endian float32 numbers each, the first at byte `at` of `view`
   * and the others `stride` bytes apart.
   * @returns how many were welded: fewer than `count` where the next has a coordinate that is not finite, or whose
   * magnitude is over `limit`
   */
  addTriangles(view: DataView, at: number, stride: number, count: number, limit: number): number {
    const { store } = this;
    const limitBits = bitsOf(limit);
    for (let done = 0; done < count; ) {
      const batch = Math.min(this.batch, count - done);
      this.batch = Math.min(2 * this.batch, batchTriangles);
      store.makeRoom(batch);
      const welded = this.way.addBatch(store, view, at + done * stride, stride, batch, limitBits);
      done += welded;
      if (welded < batch) return done;
      if (this.way instanceof RecentWeld && this.way.isAtALoss(store)) {
        this.way.settle(store);
        this.way = new TableWeld(store);
      }
    }
    return count;
  }

  /** x, y, z per vertex and three vertices a triangle. The weld gives them up: it takes no more. */
  take(): { positions: Float64Array<ArrayBuffer>; triangles: Uint32Array<ArrayBuffer> } {
    if (this.way instanceof RecentWeld) this.way.settle(this.store);
    // A large table is let go of.
    this.way = new RecentWeld(0);
    return this.store.take();
  }
}

function bitsOf(value: number): number {
  return new Int32Array(Float32Array.of(value).buffer)[0]!;
}
