/** A list of numbers that grows in a typed array. */
export class GrowingUint32 {
  length = 0;
  private array: Uint32Array<ArrayBuffer>;

  constructor(capacity = 1024) {
    this.array = new Uint32Array(capacity);
  }

  push(value: number): void {
    if (this.length === this.array.length) this.array = enlarged(this.array);
    this.array[this.length++] = value;
  }

  /** The last value, of at least one. */
  pop(): number {
    return this.array[--this.length]!;
  }

  at(index: number): number {
    return this.array[index]!;
  }

  /** The values in an array of their exact number. The list gives up its own. */
  take(): Uint32Array<ArrayBuffer> {
    const taken = this.array.length === this.length ? this.array : this.array.slice(0, this.length);
    this.array = new Uint32Array(0);
    return taken;
  }
}

/** The same for float64 numbers. */
export class GrowingFloat64 {
  length = 0;
  private array: Float64Array<ArrayBuffer>;

  constructor(capacity = 1024) {
    this.array = new Float64Array(capacity);
  }

  push(value: number): void {
    if (this.length === this.array.length) {
      const larger = new Float64Array(Math.max(48, 2 * this.array.length));
      larger.set(this.array);
      this.array = larger;
    }
    this.array[this.length++] = value;
  }

  at(index: number): number {
    return this.array[index]!;
  }

  /** The values in an array of their exact number. The list gives up its own. */
  take(): Float64Array<ArrayBuffer> {
    const taken = this.array.slice(0, this.length);
    this.array = new Float64Array(0);
    return taken;
  }
}

function enlarged(array: Uint32Array<ArrayBuffer>): Uint32Array<ArrayBuffer> {
  const larger = new Uint32Array(Math.max(48, 2 * array.length));
  larger.set(array);
  return larger;
}
