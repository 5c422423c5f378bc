import type { Finding } from '../base/finding.js';
import type { Plate } from '../plate/find-plate.js';

/** A land drawn with longer triangles than this has no points of its own to speak of, mm (common practice, no source). */
const longMm = 20;
/** Less noise than this, as of rounded coordinates, is within the stated doubt even there (measured on the twelve shapes), mm. */
const leastNoiseMm = 0.005;

/**
 * Noise on a land of a few large triangles: each of its corners, on a rim mostly, tilts square centimetres of land, and
 * neither the land's plane nor a rim can be told from that. Without noise such a land is exact.
 */
export function coarseLand(plate: Plate, noiseMm: number, limitMm: number): Finding[] {
  if (noiseMm < leastNoiseMm || plate.pieces !== undefined) return [];
  const { positions: p, triangles } = plate.mesh;
  let [coarse, all] = [0, 0];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
    if (Math.max(Math.abs(p[a + 2]!), Math.abs(p[b + 2]!), Math.abs(p[c + 2]!)) > limitMm) continue;
    const area = (p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!);
    if (!(area > 0)) continue;
    all += area;
    const side = (v: number, w: number) => Math.hypot(p[v]! - p[w]!, p[v + 1]! - p[w + 1]!);
    if (Math.max(side(a, b), side(b, c), side(c, a)) > longMm) coarse += area;
  }
  if (coarse < 0.5 * all) return [];
  return [
    {
      code: 'land-coarse',
      severity: 'stop',
      message: `The land is drawn with a few large triangles, over ${longMm} mm long, and the points of the mesh are off by ${noiseMm.toPrecision(1)} mm: neither the land nor the rims can be told from that, and no volume can be trusted. Export the mould as it was drawn, or a scan with points all over the land.`,
    },
  ];
}
