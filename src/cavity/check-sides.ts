import type { Finding } from '../base/finding.js';
import { sideOf } from '../base/wearer-side.js';
import { type Likeness, leastSpreadDifference, measureDifference } from './alike.js';
import { mirroredShape } from './fill-shape.js';
import { nameQuoted } from './name-words.js';

export interface NamedCavity extends Likeness {
  readonly number: number;
  readonly name: string;
}

const same = 9;
const clear = 9;

/**
 * Holds the sides in the names against the shapes: mirror images carry opposite sides, and what carries opposite sides
 * is not the same shape turned. Shapes that are their own mirror image say nothing.
 */
export function checkSides(cavities: readonly NamedCavity[]): Finding[] {
  const findings: Finding[] = [];
  const sided = cavities.map((cavity) => ({ ...cavity, side: sideOf(cavity.name) }));
  for (const [i, one] of sided.entries()) {
    for (const other of sided.slice(i + 1)) {
      if (one.side === null && other.side === null && one.name !== other.name) continue;
      const kin = kinship(one, other);
      const called = `${nameQuoted(one.name)} (cavity ${one.number}) and ${nameQuoted(other.name)} (cavity ${other.number})`;
      if (kin === 'mirrored' && one.name === other.name && one.side === null) {
        findings.push({
          code: 'mirrored-same-name',
          severity: 'caution',
          message: `Cavities ${one.number} and ${other.number} are mirror images of one another, but both are called ${nameQuoted(one.name)}: "mix" would take them for the same piece. Add left and right, the wearer's.`,
          cavity: other.number,
        });
      } else if (kin === 'mirrored' && one.side === other.side) {
        findings.push({
          code: 'mirrored-same-side',
          severity: 'caution',
          message: `${called} are mirror images of one another, but both are named ${one.side}. Left and right are the wearer's: correct one.`,
          cavity: other.number,
        });
      } else if (kin === 'mirrored' && (one.side === null || other.side === null)) {
        const [known, open] = one.side === null ? [other, one] : [one, other];
        findings.push({
          code: 'mirrored-without-side',
          severity: 'note',
          message: `${nameQuoted(open.name)} (cavity ${open.number}) is the mirror image of ${nameQuoted(known.name)} (cavity ${known.number}): it should be named ${known.side === 'left' ? 'right' : 'left'}, the wearer's.`,
          cavity: open.number,
        });
      } else if (kin === 'same' && one.side !== null && other.side !== null && one.side !== other.side) {
        findings.push({
          code: 'same-shape-opposite-sides',
          severity: 'caution',
          message: `${called} are the same shape, not mirror images of one another, but one is named left and one right. Left and right are the wearer's: correct one.`,
          cavity: other.number,
        });
      }
    }
  }
  return findings;
}

function kinship(a: Likeness, b: Likeness): 'same' | 'mirrored' | null {
  if (!a.shapeMm || !b.shapeMm || measureDifference(a, b) > same) return null;
  const direct = leastSpreadDifference(a.shapeMm, b.shapeMm);
  const mirrored = leastSpreadDifference(mirroredShape(a.shapeMm), b.shapeMm);
  if (mirrored <= same && direct > mirrored + clear) return 'mirrored';
  return direct <= same && mirrored > direct + clear ? 'same' : null;
}
