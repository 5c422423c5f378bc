import { triangleNormal } from '../mesh/triangle-area.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { NoiseGrain } from '../plate/noise-grain.js';

/**
 * Standard uncertainty of the integral over some triangles for the noise of their corners, mm³. The volume changes with a
 * vertex by a third of the area of its triangles, so its variance is sigma² Σ a² (JCGM 100:2008, 5.1.2); where noise is
 * alike from vertex to vertex, each has the area of a grain for a partner: sigma² grain Σ a. The area is that of the
 * surface, not of its plan: noise that is as large aside as upward moves a steep wall, too, and what noise along z alone
 * would do is less.
 * @param own numbers of the triangles that the integral runs over
 * @param noiseMm standard deviation of a vertex
 */
export function noiseSigmaMm3(mesh: TriangleMesh, own: Uint32Array, noiseMm: number, { alikeMm2 }: NoiseGrain): number {
  if (noiseMm === 0) return 0;
  const { positions: p, triangles } = mesh;
  const normal = new Float64Array(3);
  const areas = new Float32Array(p.length);
  for (const t of own) {
    const a = 3 * triangles[3 * t]!;
    const b = 3 * triangles[3 * t + 1]!;
    const c = 3 * triangles[3 * t + 2]!;
    triangleNormal(mesh, t, normal);
    for (let k = 0; k < 3; k++) {
      const v = k === 0 ? a : k === 1 ? b : c;
      // a sixth of twice the vector area: a third for each corner
      areas[v]! += normal[0]! / 6;
      areas[v + 1]! += normal[1]! / 6;
      areas[v + 2]! += normal[2]! / 6;
    }
  }
  let sum = 0;
  for (let v = 0; v < areas.length; v += 3) {
    const area = Math.hypot(areas[v]!, areas[v + 1]!, areas[v + 2]!);
    sum += area * Math.max(area, alikeMm2);
  }
  return noiseMm * Math.sqrt(sum);
}
