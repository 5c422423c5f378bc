import type { MeasuredBody } from '../../src/measure/measured-body.js';
import { refineWall } from '../../src/measure/refine-wall.js';

/** The wall as points with their neighbours, close enough to each other to be looked through one by one. */
export interface WallPoints {
  readonly positions: Float64Array;
  readonly neighbours: readonly (readonly number[])[];
}

export async function wallPoints(body: MeasuredBody, spacingMm: number): Promise<WallPoints> {
  const { fill } = body;
  const longest = new Float64Array(fill.positions.length / 3).fill(spacingMm);
  const { positions, triangles } = await refineWall(fill, longest, () => spacingMm);
  const sets = Array.from({ length: positions.length / 3 }, () => new Set<number>());
  for (let i = 0; i < triangles.length; i++) {
    const next = triangles[i % 3 === 2 ? i - 2 : i + 1]!;
    sets[triangles[i]!]!.add(next);
    sets[next]!.add(triangles[i]!);
  }
  return { positions, neighbours: sets.map((set) => [...set]) };
}

/**
 * Thickness at a wall point by looking at every point of the wall. The ball tangent at p through q has the diameter
 * |v|² / (n·v). Growing, it comes to touch the wall first where that is less than at all neighbours; it is stopped by
 * the first such place that lies `facingDeg` or more from p, seen from the centre.
 */
export function bruteThickness(
  points: WallPoints,
  p: readonly [number, number, number],
  n: readonly [number, number, number],
  largestMm: number,
  facingDeg = 120,
): number {
  const { positions, neighbours } = points;
  const count = positions.length / 3;
  const diameters = new Float64Array(count).fill(Infinity);
  for (let q = 0; q < count; q++) {
    const [x, y, z] = [positions[3 * q]! - p[0], positions[3 * q + 1]! - p[1], positions[3 * q + 2]! - p[2]];
    const front = x * n[0] + y * n[1] + z * n[2];
    if (front > 1e-9) diameters[q] = (x * x + y * y + z * z) / front;
  }
  let thickness = Math.min((-2 * p[2]) / (1 + n[2]), largestMm);
  for (let q = 0; q < count; q++) {
    const diameter = diameters[q]!;
    if (diameter >= thickness || neighbours[q]!.some((other) => diameters[other]! < diameter)) continue;
    // From the centre the contacts are p, at -n, and q, at v / r - n.
    const r = diameter / 2;
    const [x, y, z] = [positions[3 * q]! - p[0], positions[3 * q + 1]! - p[1], positions[3 * q + 2]! - p[2]];
    const cos = -((x / r - n[0]) * n[0] + (y / r - n[1]) * n[1] + (z / r - n[2]) * n[2]);
    if (cos <= Math.cos((facingDeg * Math.PI) / 180)) thickness = diameter;
  }
  return thickness;
}
