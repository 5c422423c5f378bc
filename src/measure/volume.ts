import { inBatches } from '../base/batches.js';
import { Sum } from '../base/sum.js';
import type { WallField } from '../cavity/wall-field.js';
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
export function integralUnderZero(
  mesh: TriangleMesh,
  own: Uint32Array,
  wall?: Pick<WallField, 'calm' | 'standsOutMm'>,
): { volumeMm3: number; openingMm2: number } {
  const volume = new Sum();
  const opening = new Sum();
  const whole = wall === undefined || wall.standsOutMm === null ? own : own.filter((t) => !standsOut(mesh, wall, t));
  inBatches(whole.length, (from, to) => addPrisms(mesh, whole, from, to, volume, opening));
  if (whole.length < own.length) {
    const cut = cutAtZero(
      mesh,
      own.filter((t) => standsOut(mesh, wall!, t)),
      wall!,
    );
    addPrisms(
      cut,
      Uint32Array.from({ length: cut.triangles.length / 3 }, (_, t) => t),
      0,
      cut.triangles.length / 3,
      volume,
      opening,
    );
  }
  return { volumeMm3: volume.value, openingMm2: opening.value };
}

function standsOut(
  { triangles }: TriangleMesh,
  { calm, standsOutMm }: Pick<WallField, 'calm' | 'standsOutMm'>,
  t: number,
): boolean {
  return [0, 1, 2].some((k) => calm[triangles[3 * t + k]!]! > standsOutMm!);
}

/**
 * The parts under the scrape surface of triangles that go on over it. Cut where the smoothed heights pass zero: a cut at the
 * raw ones would keep more of what noise pushed down than it drops of what noise lifted.
 */
function cutAtZero(
  { positions: p, triangles }: TriangleMesh,
  own: Uint32Array,
  { calm, standsOutMm }: Pick<WallField, 'calm' | 'standsOutMm'>,
): TriangleMesh {
  const positions: number[] = [];
  const corners: number[] = [];
  const heightOf = (v: number) => (Math.abs(calm[v]!) <= standsOutMm! ? 0 : calm[v]!);
  for (const t of own) {
    const first = positions.length / 3;
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * t + k]!;
      const w = triangles[3 * t + ((k + 1) % 3)]!;
      const [here, there] = [heightOf(v), heightOf(w)];
      if (here <= 0) for (let axis = 0; axis < 3; axis++) positions.push(p[3 * v + axis]!);
      if (!(here * there < 0)) continue;
      const share = here / (here - there);
      for (let axis = 0; axis < 3; axis++)
        positions.push(p[3 * v + axis]! + share * (p[3 * w + axis]! - p[3 * v + axis]!));
    }
    for (let v = first + 1; v + 1 < positions.length / 3; v++) corners.push(first, v, v + 1);
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(corners) };
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
