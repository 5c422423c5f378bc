import { inBatches } from '../base/batches.js';
import { Sum } from '../base/sum.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/**
 * Volume between the scrape surface z = 0 and the raw wall, as a signed integral: every triangle stands for the prism
 * over it, its projected area times its mean depth; parts of the wall that face down count negative, so undercuts come
 * out right. Needs no closed mesh. Noise along z cancels, since nothing is clipped at zero.
 *
 * This is the divergence theorem with the field (0, 0, z), exact for a polyhedral wall (signed-volume sum as in Zhang,
 * Chen 2001; Mirtich 1996 for the general integrals).
 * @param own numbers of the triangles that belong to the cavity
 */
export function integralUnderZero(mesh: TriangleMesh, own: Uint32Array): { volumeMm3: number; openingMm2: number } {
  const volume = new Sum();
  const opening = new Sum();
  inBatches(own.length, (from, to) => addPrisms(mesh, own, from, to, volume, opening));
  return { volumeMm3: volume.value, openingMm2: opening.value };
}

function addPrisms(
  { positions: p, triangles }: TriangleMesh,
  own: Uint32Array,
  from: number,
  to: number,
  volume: Sum,
  opening: Sum,
): void {
  for (let i = from; i < to; i++) {
    const t = 3 * own[i]!;
    const a = 3 * triangles[t]!;
    const b = 3 * triangles[t + 1]!;
    const c = 3 * triangles[t + 2]!;
    const projected = ((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!)) / 2;
    volume.add((-projected * (p[a + 2]! + p[b + 2]! + p[c + 2]!)) / 3);
    opening.add(projected);
  }
}
