import { hashOfBits } from './float32-store.js';

/**
 * Welding: vertices at bitwise equal coordinates become one, numbered in the order they first come.
 * -0 counts as 0; coordinates must be finite. An open-addressing hash table over the coordinates' bits that grows before
 * it is half full. Triangles of float32 numbers have a faster one: float32-weld.ts.
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
