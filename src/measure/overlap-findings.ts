import type { Finding } from '../base/finding.js';
import { isInside } from '../base/plane-geometry.js';
import type { Cavity } from './collect-cavities.js';

/** Openings that share this much of a rim lie over each other: touching rims share next to nothing. */
const leastShare = 0.2;

/**
 * Two cavities cannot lie over each other: where their openings do, the file holds the surface twice, or two scans of
 * it that were not joined, and every number of theirs is in doubt.
 */
export function overlapFindings(cavities: readonly Cavity[]): Finding[] {
  const findings: Finding[] = [];
  for (const [i, a] of cavities.entries()) {
    const twin = cavities.slice(0, i).find((b) => boxesMeet(a, b) && (liesIn(a, b) || liesIn(b, a)));
    if (twin === undefined) continue;
    findings.push({
      code: 'cavities-overlap',
      severity: 'stop',
      message: `Cavities ${twin.number} and ${a.number} lie over each other: the file holds this surface twice, or scans that were not joined to one. Join them in the program they come from, or delete one, and survey again.`,
      cavity: a.number,
      atMm: [a.centreMm[0], a.centreMm[1], 0],
    });
  }
  return findings;
}

function boxesMeet({ boxMm: a }: Cavity, { boxMm: b }: Cavity): boolean {
  return a[0] < b[3] && b[0] < a[3] && a[1] < b[4] && b[1] < a[4];
}

function liesIn(a: Cavity, b: Cavity): boolean {
  if (b.rimLoops.length === 0) return false;
  let [inside, all] = [0, 0];
  for (const loop of a.rimLoops) {
    for (let i = 0; i < loop.length; i += 2) {
      all++;
      if (isInside(b.rimLoops, loop[i]!, loop[i + 1]!)) inside++;
    }
  }
  return inside > leastShare * all;
}
