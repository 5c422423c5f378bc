import type { FillBody } from '../cavity/fill-body.js';

/** The outline of a body's level section at a height: x, y of both ends per piece (stride 4), in no order. */
export function levelSection(body: FillBody, heightMm: number): Float64Array {
  const { positions, triangles } = body;
  const pieces: number[] = [];
  for (let i = 0; i < triangles.length; i += 3) {
    let ends = 0;
    for (let e = 0; e < 3; e++) {
      const a = 3 * triangles[i + e]!;
      const b = 3 * triangles[i + ((e + 1) % 3)]!;
      const za = positions[a + 2]!;
      const zb = positions[b + 2]!;
      if (za > heightMm === zb > heightMm) continue;
      const share = (heightMm - za) / (zb - za);
      pieces.push(
        positions[a]! + share * (positions[b]! - positions[a]!),
        positions[a + 1]! + share * (positions[b + 1]! - positions[a + 1]!),
      );
      ends++;
    }
    if (ends === 1) pieces.length -= 2;
  }
  return Float64Array.from(pieces);
}
