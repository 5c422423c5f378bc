import type { Finding } from '../base/finding.js';
import { measureDifference } from '../cavity/alike.js';
import { checkSides } from '../cavity/check-sides.js';
import { type NamedPlate, nameCavities } from '../cavity/name-cavities.js';
import { nameQuoted } from '../cavity/name-words.js';
import type { NameList } from '../reading/name-list.js';
import type { Cavity } from './collect-cavities.js';

export type NamedCavity = Cavity;

/**
 * The cavities under the names of a person's list where there is one; otherwise, and where the list is silent, under
 * those of the file's objects or their number. Names are held against each other and against the shapes.
 */
export function namedCavities(
  cavities: readonly Cavity[],
  list: NameList | undefined,
  plate: NamedPlate | null,
): { cavities: NamedCavity[]; findings: Finding[] } {
  const given = list === undefined ? null : nameCavities(list, cavities, plate);
  const taken = new Set(given?.names);
  const named = cavities.map((cavity, j): NamedCavity => {
    const own = taken.has(cavity.name) ? `cavity-${cavity.number}` : cavity.name;
    return { ...cavity, name: given?.names[j] ?? own };
  });
  return { cavities: named, findings: [...(given?.findings ?? []), ...sameNames(named), ...checkSides(named)] };
}

/** Several cavities may make the same piece, and then have one name; different pieces may not. */
function sameNames(cavities: readonly NamedCavity[]): Finding[] {
  const firstOf = new Map<string, NamedCavity>();
  const findings: Finding[] = [];
  for (const cavity of cavities) {
    const first = firstOf.get(cavity.name);
    if (first === undefined) firstOf.set(cavity.name, cavity);
    else if (measureDifference(first, cavity) > differentPiece) {
      findings.push({
        code: 'name-shared',
        severity: 'caution',
        message: `Cavities ${first.number} and ${cavity.number} are both called ${nameQuoted(cavity.name)}, but are not alike (${millilitres(first)} and ${millilitres(cavity)}). "mix" takes cavities of one name for the same piece.`,
        cavity: cavity.number,
      });
    }
  }
  return findings;
}

/** Five standard deviations. */
const differentPiece = 25;

function millilitres({ volumeMm3 }: NamedCavity): string {
  return volumeMm3 === null ? 'volume unknown' : `${(volumeMm3 / 1000).toPrecision(3)} ml`;
}
