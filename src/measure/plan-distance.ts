/**
 * Distance from every cell of a grid to the nearest cell that is marked, in cell widths between centres; Infinity
 * where no cell is. Exact, by lower envelopes of parabolas (Felzenszwalb, Huttenlocher 2012).
 */
export function distanceToMarked(marked: Uint8Array, across: number, along: number): Float64Array {
  const result = new Float64Array(marked.length);
  for (let c = 0; c < marked.length; c++) result[c] = marked[c] === 0 ? Infinity : 0;
  const size = Math.max(across, along);
  const line = new Float64Array(size);
  const vertex = new Int32Array(size);
  const from = new Float64Array(size + 1);
  for (let i = 0; i < across; i++) transform(result, i, across, along);
  for (let j = 0; j < along; j++) transform(result, across * j, 1, across);
  for (let c = 0; c < result.length; c++) result[c] = Math.sqrt(result[c]!);
  return result;

  function transform(values: Float64Array, start: number, stride: number, count: number): void {
    let k = -1;
    for (let q = 0; q < count; q++) {
      const value = (line[q] = values[start + q * stride]!);
      if (value === Infinity) continue;
      let at = Number.NEGATIVE_INFINITY;
      while (k >= 0) {
        const p = vertex[k]!;
        at = (value + q * q - line[p]! - p * p) / (2 * (q - p));
        if (at > from[k]!) break;
        k--;
      }
      if (k < 0) at = Number.NEGATIVE_INFINITY;
      vertex[++k] = q;
      from[k] = at;
    }
    if (k < 0) return;
    const last = k;
    k = 0;
    for (let q = 0; q < count; q++) {
      while (k < last && from[k + 1]! < q) k++;
      const p = vertex[k]!;
      values[start + q * stride] = (q - p) * (q - p) + line[p]!;
    }
  }
}
