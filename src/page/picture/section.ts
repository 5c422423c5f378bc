import type { BodySurface } from './shapes.js';

/** One piece of the wall's outline in the section plane: along the plane and z, mm; thickness there, NaN if unknown. */
export interface SectionLine {
  readonly number: number;
  /** u1, z1, u2, z2; every line of a body has the silicone on the same hand. */
  readonly ends: readonly [number, number, number, number];
  readonly thicknessMm: number;
}

/**
 * Where a plane of constant x or y cuts the walls of the fill bodies.
 * @returns u runs along y in a plane of constant x, and along x in one of constant y
 */
export function sectionLines(bodies: readonly BodySurface[], axis: 'x' | 'y', atMm: number): SectionLine[] {
  const across = axis === 'x' ? 0 : 1;
  const along = 1 - across;
  const lines: SectionLine[] = [];
  for (const { number, positions, triangles, wallIndices, thicknessMm } of bodies) {
    for (let t = 0; t < wallIndices; t += 3) {
      const ends: number[] = [];
      let thickness = 0;
      for (let k = 0; k < 3; k++) {
        const a = triangles[t + k]!;
        const b = triangles[t + ((k + 1) % 3)]!;
        const da = positions[3 * a + across]! - atMm;
        const db = positions[3 * b + across]! - atMm;
        // Half-open, so that a plane through a vertex meets each of its edges once.
        if (da < 0 === db < 0) continue;
        const share = da / (da - db);
        const mix = (k2: number): number =>
          positions[3 * a + k2]! + share * (positions[3 * b + k2]! - positions[3 * a + k2]!);
        // The edge that leaves the near side comes first: that gives every line the same sense.
        if (da < 0) ends.unshift(mix(along), mix(2));
        else ends.push(mix(along), mix(2));
        thickness += (thicknessMm[a]! + share * (thicknessMm[b]! - thicknessMm[a]!)) / 2;
      }
      if (ends.length === 4) lines.push({ number, ends: ends as never, thicknessMm: thickness });
    }
  }
  return lines;
}

/** The place on the outline nearest to a point of the section, with what is known there. */
export function nearestOnSection(
  lines: readonly SectionLine[],
  u: number,
  z: number,
): { readonly line: SectionLine; readonly u: number; readonly z: number } | null {
  let best: { line: SectionLine; u: number; z: number } | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const line of lines) {
    const [u1, z1, u2, z2] = line.ends;
    const [du, dz] = [u2 - u1, z2 - z1];
    const length = du * du + dz * dz;
    const share = length === 0 ? 0 : Math.min(1, Math.max(0, ((u - u1) * du + (z - z1) * dz) / length));
    const [pu, pz] = [u1 + share * du, z1 + share * dz];
    const away = (pu - u) ** 2 + (pz - z) ** 2;
    if (away < least) {
      least = away;
      best = { line, u: pu, z: pz };
    }
  }
  return best;
}
