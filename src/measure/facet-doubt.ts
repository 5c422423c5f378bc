import { oppositeHalfEdges } from '../mesh/half-edges.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** A neighbour's plane carried on to a triangle's middle is off by 1.2 noise for noise alone; four times that is a bend. */
const leastBend = 5;

/**
 * Standard uncertainty of the integral over the facets of a scan for what lies between its points, mm³: where a wall stands
 * or a crease runs inside a facet nobody knows. The surface in a facet may be the facet or follow a neighbour's plane, which
 * carried on is off by d in the facet's middle, or be as far off to the other side: with three neighbours d is a third of
 * the facet's height at a step, so three times d is what the step may lie across, evenly spread (JCGM 100:2008, 4.3.7):
 * variance (3 d area)² / 12 in plan, independent from facet to facet.
 * @param own numbers of the triangles that the integral runs over
 * @param noiseMm standard deviation of a vertex; 0: the mesh is no scan, its facets are the surface
 */
export function facetSigmaMm3({ positions: p, triangles }: TriangleMesh, own: Uint32Array, noiseMm: number): number {
  if (noiseMm === 0) return 0;
  const corners = new Uint32Array(3 * own.length);
  for (let i = 0; i < own.length; i++) {
    for (let k = 0; k < 3; k++) corners[3 * i + k] = triangles[3 * own[i]! + k]!;
  }
  const opposite = oppositeHalfEdges(corners, p.length / 3);
  let sum = 0;
  for (let i = 0; i < corners.length; i += 3) {
    const [a, b, c] = [3 * corners[i]!, 3 * corners[i + 1]!, 3 * corners[i + 2]!];
    const [za, zb, zc] = [p[a + 2]!, p[b + 2]!, p[c + 2]!];
    const [low, high] = [Math.min(za, zb, zc), Math.max(za, zb, zc)];
    if (high - low <= leastBend * noiseMm) continue;
    const [x, y, z] = [(p[a]! + p[b]! + p[c]!) / 3, (p[a + 1]! + p[b + 1]! + p[c + 1]!) / 3, (za + zb + zc) / 3];
    let off = 0;
    for (let h = i; h < i + 3; h++) {
      const other = opposite[h]!;
      if (other < 0) continue;
      const there = planeHeight(p, corners, other - (other % 3), x, y);
      // Between its corners the surface stays between their heights.
      if (there !== null) off = Math.max(off, Math.abs(Math.min(high, Math.max(low, there)) - z));
    }
    if (off <= leastBend * noiseMm) continue;
    const area = ((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!)) / 2;
    sum += (off * area) ** 2;
  }
  return Math.sqrt((9 / 12) * sum);
}

/** Height of a triangle's plane at a place; null where it stands upright. */
function planeHeight(p: Float64Array, corners: Uint32Array, at: number, x: number, y: number): number | null {
  const [a, b, c] = [3 * corners[at]!, 3 * corners[at + 1]!, 3 * corners[at + 2]!];
  const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  const area = ux * vy - uy * vx;
  if (!(Math.abs(area) > 1e-12)) return null;
  const [s, t] = [x - p[a]!, y - p[a + 1]!];
  return p[a + 2]! + ((s * vy - t * vx) * uz + (ux * t - uy * s) * vz) / area;
}
