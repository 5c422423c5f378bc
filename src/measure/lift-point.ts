import type { MeasuredBody } from './measured-body.js';
import { loopRanges } from './rim-samples.js';
import type { EdgeProfile } from './taper.js';
import type { Undercut } from './undercut.js';

export interface LiftPoint {
  readonly atMm: [number, number, number];
  /** Mean thickness of the edge over the grip, 2 mm in (or as far in as the piece has). */
  readonly edgeMm: number;
}

/** The edge is gripped over about this length, and by what lies this far in. */
const gripMm = 8;
const heldMm = 10;

/** A barrier margin is gripped this far outside the rim: common practice, no source. */
const marginMm = 2;

/**
 * Where to start lifting a piece. Cast straight: where the edge is strongest and least held. Strength is the
 * thickness 2 mm in, averaged over the grip, without credit past three times the tear thickness; what holds is the depth
 * of wall near by, doubled and more towards an undercut. Encapsulated: the same place, out on the barrier's margin, so
 * that nobody pulls at the silicone's edge.
 */
export function liftPoint(
  body: MeasuredBody,
  profile: EdgeProfile,
  undercut: Undercut,
  tearMm: number,
  way: 'straight' | 'encapsulated',
): LiftPoint | null {
  const { samples, stationsMm } = profile;
  const count = samples.loop.length;
  const strength = Float64Array.from({ length: count }, (_, i) => edgeAt(profile, i, stationsMm.indexOf(2)));
  const held = Float64Array.from({ length: count }, (_, i) => holdAt(body, profile, undercut, i));
  let best = -1;
  let bestScore = -Infinity;
  let edgeMm = 0;
  for (const [first, size] of loopRanges(samples)) {
    // Islands are no place to start.
    if (!isOuter(body.fill.rimLoops[samples.loop[first]!]!)) continue;
    const grip = Math.round(gripMm / 2 / samples.stepMm[samples.loop[first]!]!);
    for (let i = 0; i < size; i++) {
      let strong = 0;
      let thick = 0;
      let holds = 0;
      for (let k = -grip; k <= grip; k++) {
        const at = first + ((((i + k) % size) + size) % size);
        strong += Math.min(strength[at]!, 3 * tearMm) / (2 * grip + 1);
        thick += strength[at]! / (2 * grip + 1);
        holds += held[at]! / (2 * grip + 1);
      }
      // A thousandth more must not move the point on a piece that is the same all round.
      const score = strong / (tearMm + holds);
      if (score > bestScore * (1 + 1e-3)) {
        bestScore = score;
        best = first + i;
        edgeMm = thick;
      }
    }
  }
  if (best < 0) return null;
  const out = way === 'encapsulated' ? marginMm : 0;
  return {
    atMm: [
      samples.place[2 * best]! - out * samples.inward[2 * best]!,
      samples.place[2 * best + 1]! - out * samples.inward[2 * best + 1]!,
      0,
    ],
    edgeMm,
  };
}

/** Thickness at a station, or at the farthest one before it that the piece has. */
function edgeAt({ thicknessMm, stationsMm }: EdgeProfile, i: number, station: number): number {
  for (let k = station; k >= 0; k--) {
    const t = thicknessMm[i * stationsMm.length + k]!;
    if (!Number.isNaN(t)) return t;
  }
  return 0;
}

/** Depth of the wall a few millimetres inward of a rim sample, more near an undercut. */
function holdAt(body: MeasuredBody, { samples }: EdgeProfile, undercut: Undercut, i: number): number {
  const x = samples.place[2 * i]! + (heldMm / 4) * samples.inward[2 * i]!;
  const y = samples.place[2 * i + 1]! + (heldMm / 4) * samples.inward[2 * i + 1]!;
  body.wall.nearest(x, y, 0);
  const depth = Math.max(0, -body.wall.foundZ);
  const caught = undercut.parts.reduce((sum, part) => {
    const away = Math.hypot(part.atMm[0] - x, part.atMm[1] - y);
    return sum + Math.cbrt(part.volumeMm3) / (1 + away / heldMm);
  }, 0);
  return depth + 2 * caught;
}

/** Counter-clockwise loops are outer ones. */
function isOuter(loop: Float64Array): boolean {
  let twice = 0;
  for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
    twice += loop[j]! * loop[i + 1]! - loop[i]! * loop[j + 1]!;
  }
  return twice > 0;
}
