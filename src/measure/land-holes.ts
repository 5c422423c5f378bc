import type { Finding } from '../base/finding.js';
import { isInside } from '../base/plane-geometry.js';
import type { HollowSurface } from '../cavity/find-hollows.js';
import type { MendedMesh } from '../mesh/mend.js';
import type { Plate } from '../plate/find-plate.js';

/** The smallest piece is wider than this: a narrower hole in the land hides none, mm (common practice, no source). */
const leastHoleMm = 3;

/**
 * Holes that were left open in the land: a cavity may have been in each of them, and nothing else would tell. A hole
 * that reaches into a cavity is said by that cavity's own finding.
 */
export function landHoles(
  plate: Plate,
  surfaces: readonly Pick<HollowSurface, 'wall'>[],
  { openHoles }: MendedMesh,
): Finding[] {
  const wide = openHoles.filter(({ span }) => span >= leastHoleMm);
  if (wide.length === 0) return [];
  const { positions: p, triangles } = plate.mesh;
  const inCavity = new Set<number>();
  for (const { wall } of surfaces)
    for (const t of wall) for (let k = 0; k < 3; k++) inCavity.add(triangles[3 * t + k]!);
  const holes = wide.flatMap(({ loop, span }) => {
    // What lies far under the land or over it is the plate's side, or a wall round it.
    if (loop.some((v) => inCavity.has(v)) || loop.every((v) => Math.abs(p[3 * v + 2]!) > leastHoleMm)) return [];
    const [x, y] = [0, 1].map((k) => loop.reduce((sum, v) => sum + p[3 * v + k]!, 0) / loop.length) as [number, number];
    return isInside([plate.outline], x, y) ? [{ span, x, y }] : [];
  });
  if (holes.length === 0) return [];
  const [widest] = holes.sort((a, b) => b.span - a.span);
  const { x, y, span } = widest!;
  const many = holes.length > 1;
  return [
    {
      code: 'hole-in-land',
      severity: 'caution',
      message: `The land has ${many ? `${holes.length} holes` : 'a hole'} that ${many ? 'were' : 'was'} left open, ${many ? 'the widest ' : ''}${span.toFixed(0)} mm across at x ${x.toFixed(0)}, y ${y.toFixed(0)} mm: a cavity that lies there is not in this survey. Look at the mould, and scan it again if there is one.`,
      atMm: [x, y, 0],
    },
  ];
}
