/** Where the arrays of some work lie: in memory of its thread's own, or in memory that all threads see. */
export type Memory = (bytes: number) => ArrayBufferLike;

export const ownMemory: Memory = (bytes) => new ArrayBuffer(bytes);
export const sharedMemory: Memory = (bytes) => new SharedArrayBuffer(bytes);

/** The same numbers in a memory; where that is the thread's own they are not copied. */
export function placed<T extends Float64Array | Uint32Array>(array: T, memory: Memory): T {
  if (memory === ownMemory) return array;
  const copy = new (array.constructor as new (buffer: ArrayBufferLike) => T)(memory(array.byteLength));
  copy.set(array);
  return copy;
}

/** The same numbers in the thread's own memory, so that they can go wherever plain arrays can. */
export function taken<T extends Float64Array | Uint32Array | Int32Array>(array: T): T {
  return array.buffer instanceof ArrayBuffer ? array : (array.slice() as T);
}
