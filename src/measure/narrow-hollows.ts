import { facePatches } from './face-patches.js';
import type { MeasuredBody } from './measured-body.js';
import { median } from './quantile.js';
import type { ThicknessMap } from './thickness.js';

/** A hollow so narrow and deep that pouring leaves a bubble in it. */
export interface NarrowHollow {
  readonly widthMm: number;
  readonly depthMm: number;
  readonly atMm: [number, number, number];
}

/** Narrower than this, and deeper than wide, a hollow holds its air: common practice, no source. */
export const narrowMm = 1.5;

/** Walls count as sides of a hollow down to 45 degrees. */
const steep = Math.SQRT1_2;

/** Under noise a sharp corner of the wall frays into crumbs that face each other: a hollow is wider than this by noise. */
const noiseShare = 6;

/**
 * Narrow deep hollows: patches of steep wall that other steep wall faces across less than 1.5 mm, that run down by more
 * than they are apart, and that have the wall of a hollow so deep: where two walls only meet in a sharp corner there is
 * hardly any.
 */
export function narrowHollows(body: MeasuredBody, map: ThicknessMap): NarrowHollow[] {
  const isSteep = (triangle: number) => Math.abs(body.normals[3 * triangle + 2]!) < steep;
  const isSide = (f: number) =>
    map.stoppedBy[f]! >= 0 && map.thicknessMm[f]! < narrowMm && isSteep(map.partOf[f]!) && isSteep(map.stoppedBy[f]!);
  return facePatches(map, isSide).flatMap((patch) => {
    let lowest = -1;
    let low = Infinity;
    let high = -Infinity;
    for (const f of patch) {
      for (let corner = 0; corner < 3; corner++) {
        const vertex = map.triangles[3 * f + corner]!;
        const z = map.positions[3 * vertex + 2]!;
        if (z < low) [low, lowest] = [z, vertex];
        if (z > high) high = z;
      }
    }
    const widthMm = median(patch.map((f) => map.thicknessMm[f]!));
    const depthMm = high - low;
    if (depthMm <= widthMm || widthMm <= noiseShare * body.fill.noiseMm) return [];
    const areaMm2 = patch.reduce((sum, f) => sum + map.areaMm2[f]!, 0);
    if (areaMm2 < 2 * widthMm * depthMm) return [];
    const p = map.positions;
    return [{ widthMm, depthMm, atMm: [p[3 * lowest]!, p[3 * lowest + 1]!, p[3 * lowest + 2]!] }];
  });
}
