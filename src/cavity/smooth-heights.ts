import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/**
 * Heights averaged over the mesh's neighbours, a number of rounds. A neighbour counts less the more its height differs
 * (Tukey's biweight), and nothing from five standard deviations of the noise, so that steep walls do not smear into the
 * land (a bilateral filter on the mesh, after Fleishman, Drori, Cohen-Or 2003).
 * @param noiseMm standard deviation of the noise
 */
export function smoothHeights(mesh: TriangleMesh, z: Float64Array, noiseMm: number, rounds: number): Float64Array {
  const { triangles } = mesh;
  let from = z;
  let to: Float64Array = new Float64Array(z.length);
  const sum = new Float64Array(z.length);
  const weight = new Float64Array(z.length);
  for (let round = 0; round < rounds; round++) {
    // A single point far out of the noise would keep to itself for ever: the first rounds reach wider.
    const far2 = Math.min(((round < 2 ? 8 : 5) * noiseMm) ** 2, Number.MAX_VALUE);
    sum.fill(0);
    weight.fill(0);
    for (let t = 0; t < triangles.length; t += 3) {
      const a = triangles[t]!;
      const b = triangles[t + 1]!;
      const c = triangles[t + 2]!;
      const za = from[a]!;
      const zb = from[b]!;
      const zc = from[c]!;
      const ab = 1 - ((za - zb) * (za - zb)) / far2;
      const bc = 1 - ((zb - zc) * (zb - zc)) / far2;
      const ca = 1 - ((zc - za) * (zc - za)) / far2;
      if (ab > 0) {
        const w = ab * ab;
        sum[a]! += w * zb;
        sum[b]! += w * za;
        weight[a]! += w;
        weight[b]! += w;
      }
      if (bc > 0) {
        const w = bc * bc;
        sum[b]! += w * zc;
        sum[c]! += w * zb;
        weight[b]! += w;
        weight[c]! += w;
      }
      if (ca > 0) {
        const w = ca * ca;
        sum[c]! += w * za;
        sum[a]! += w * zc;
        weight[c]! += w;
        weight[a]! += w;
      }
    }
    // Each side was counted by both its triangles: a vertex itself weighs as much as one neighbour.
    for (let v = 0; v < z.length; v++) to[v] = (sum[v]! + 2 * from[v]!) / (weight[v]! + 2);
    const spare = from === z ? new Float64Array(z.length) : from;
    from = to;
    to = spare;
  }
  return from;
}

/**
 * Smoothed heights without the shrinking of curved walls: what the first pass took away is smoothed too and put back
 * (twicing, Tukey 1977), which leaves a bias of fourth order in the filter's width.
 */
export function denoiseHeights(mesh: TriangleMesh, z: Float64Array, noiseMm: number, rounds: number): Float64Array {
  const once = smoothHeights(mesh, z, noiseMm, rounds);
  const rest = new Float64Array(z.length);
  for (let v = 0; v < z.length; v++) rest[v] = z[v]! - once[v]!;
  const back = smoothHeights(mesh, rest, noiseMm, rounds);
  for (let v = 0; v < z.length; v++) back[v]! += once[v]!;
  return back;
}
