/**
 * The places that have a depth, the deepest first, of equal ones the first first. Sorted as plain numbers, each made of the
 * depth's leading digits and the cell, which takes a fraction of the time; what these digits leave equal is sorted once more.
 */
export function deepestFirst(depth: Float64Array): Uint32Array {
  const places = depth.length;
  const leading = new Uint32Array(new Float32Array(depth).buffer);
  // A key must be a whole number that a float64 holds: of millions of places fewer digits go into it.
  let dropped = 0;
  while ((largestBits / 2 ** dropped + 1) * places > Number.MAX_SAFE_INTEGER) dropped++;
  if (dropped > 0) for (let cell = 0; cell < places; cell++) leading[cell]! >>>= dropped;
  const keys = new Float64Array(places);
  const sorted = keys.subarray(0, fillKeys(depth, leading, largestBits >>> dropped, keys)).sort();
  const order = new Uint32Array(sorted.length);
  readPlaces(sorted, places, order);
  for (let from = 0; from < order.length; ) {
    const to = endOfEqual(leading, order, from);
    if (to > from + 1) order.subarray(from, to).sort((a, b) => depth[b]! - depth[a]! || a - b);
    from = to;
  }
  return order;
}

/** The bits of float32 numbers over zero are in the order of their values; these are those of infinity. */
const largestBits = 0x7f800000;

/** @returns how many places have a depth */
function fillKeys(depth: Float64Array, leading: Uint32Array, largest: number, keys: Float64Array): number {
  let count = 0;
  for (let cell = 0; cell < depth.length; cell++) {
    if (depth[cell]! > 0) keys[count++] = (largest - leading[cell]!) * depth.length + cell;
  }
  return count;
}

function readPlaces(keys: Float64Array, places: number, order: Uint32Array): void {
  for (let i = 0; i < keys.length; i++) order[i] = keys[i]! % places;
}

/** Up to where in the order the leading digits are those of the place at `from`. */
function endOfEqual(leading: Uint32Array, order: Uint32Array, from: number): number {
  let to = from + 1;
  while (to < order.length && leading[order[to]!] === leading[order[from]!]) to++;
  return to;
}
