import { MaxHeap } from './max-heap.js';

/** A priority queue of cells (centre, half width), the one with the highest bound first. A pop fills the fields. */
export class CellQueue {
  x = 0;
  y = 0;
  z = 0;
  half = 0;
  bound = 0;
  private readonly cells: number[] = [];
  private readonly heap = new MaxHeap();

  push(x: number, y: number, z: number, half: number, bound: number): void {
    this.heap.push(this.cells.length, bound);
    this.cells.push(x, y, z, half);
  }

  pop(): boolean {
    this.bound = this.heap.topKey;
    const at = this.heap.pop();
    if (at < 0) return false;
    this.x = this.cells[at]!;
    this.y = this.cells[at + 1]!;
    this.z = this.cells[at + 2]!;
    this.half = this.cells[at + 3]!;
    return true;
  }
}
