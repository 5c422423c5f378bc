import type { Finding } from '../base/finding.js';
import type { NameEntry, NameList } from '../reading/name-list.js';
import { leastSpreadDifference, measureDifference } from './alike.js';
import { type FoundPlace, isBelievable, type ListedPlace, type Way, wayAsWritten, waysToFit } from './fit-list.js';
import { capital, cavitiesCalled, listed, nameQuoted } from './name-words.js';

/** A numbered cavity that waits for its name. */
export interface NamelessCavity extends FoundPlace {
  readonly number: number;
}

export interface GivenNames {
  /** The list's name per cavity; null where it gives none. */
  readonly names: (string | null)[];
  readonly findings: Finding[];
}

export interface NamedPlate {
  readonly lengthMm: number;
  readonly widthMm: number;
  /** SHA-256 of the mesh file. */
  readonly sha256: string;
}

/** Two ways that differ by less than three standard deviations are both believed. */
const clear = 9;
const sameShape = 9;
/** Five standard deviations. */
const changedPiece = 25;

/**
 * Gives the cavities the names of a list: by number, or by place and shape over every turn the frame may have made.
 * Whatever is not certain gets no name and a finding.
 * @param plate null: the cavities have no common frame, and only their shapes speak
 */
export function nameCavities(
  list: NameList,
  cavities: readonly NamelessCavity[],
  plate: NamedPlate | null,
): GivenNames {
  const { names, findings } =
    list.by === 'number' ? byNumber(list.entries, cavities) : byPlace(list.entries, cavities, plate);
  return { names, findings: [...list.findings, ...findings] };
}

function byNumber(entries: readonly NameEntry[], cavities: readonly NamelessCavity[]): GivenNames {
  const surplus = entries.filter(({ number, name }) => number! > cavities.length && name !== '');
  if (surplus.length > 0) {
    const message = `The list names ${entries.length} cavities, this plate has ${cavities.length}: there is none for ${listed(surplus.map(entryCalled))}. No name was given, because all behind the missing one would go astray. Correct the list, or see the findings for what was left out or joined.`;
    return { names: cavities.map(() => null), findings: [{ code: 'names-too-many', severity: 'caution', message }] };
  }
  const nameOf = new Map(entries.map(({ number, name }) => [number, name]));
  const names = cavities.map(({ number }) => nameOf.get(number) || null);
  return { names, findings: withoutName(cavities, names) };
}

function byPlace(
  entries: readonly NameEntry[],
  cavities: readonly NamelessCavity[],
  plate: NamedPlate | null,
): GivenNames {
  const findings: Finding[] = [];
  const places = entries as readonly (NameEntry & ListedPlace)[];
  const fit = plate === null ? null : fitOf(places, cavities, plate);
  const names: (string | null)[] = cavities.map(() => null);
  let freeEntries = entries;
  let freeCavities = cavities;
  if (fit !== null) {
    const { entriesOf, cavitiesOf, unsure } = fit;
    const changed: NamelessCavity[] = [];
    for (const [j, own] of entriesOf.entries()) {
      if (unsure.has(j) || own.size === 0) continue;
      const given = [...own].map((i) => entries[i]!);
      names[j] = given[0]!.name || null;
      if (given.every((entry) => measureDifference(entry, cavities[j]!) > changedPiece)) changed.push(cavities[j]!);
    }
    if (changed.length > 0) {
      const message = `Named by place, although volume, opening or depth are not those of the list: ${cavitiesCalled(changed)}. Look whether the names are right.`;
      findings.push({ code: 'name-shape-differs', severity: 'note', message });
    }
    if (unsure.size > 0) findings.push(ambiguous(fit, cavities));
    freeEntries = entries.filter((_, i) => cavitiesOf[i]!.size === 0);
    freeCavities = cavities.filter((_, j) => entriesOf[j]!.size === 0);
  }
  const moved = byShape(freeEntries, freeCavities);
  for (const { entry, cavity } of moved.pairs) names[cavities.indexOf(cavity)] = entry.name || null;
  if (moved.pairs.length > 0) {
    const called = moved.pairs.map(({ entry, cavity }) => `${nameQuoted(entry.name)} (${cavity.number})`);
    const message = `Named by shape alone, because ${plate === null ? 'loose pieces have no place' : 'they do not lie where the list says'}: ${listed(called)}. Look whether the names are right.`;
    findings.push({ code: 'names-by-shape', severity: 'note', message });
  }
  findings.push(...moved.findings);
  const lost = freeEntries.filter((entry) => entry.name !== '' && !moved.settled.has(entry));
  if (lost.length > 0 && lost.length === entries.filter(({ name }) => name !== '').length) {
    const message = `The list does not fit this plate: too few of its ${entries.length} places and shapes are found among the ${cavities.length} cavities, and no name was given. Is it the list of another plate?`;
    findings.push({ code: 'names-do-not-fit', severity: 'caution', message });
  } else if (lost.length > 0) {
    const message = `No cavity of this plate fits ${listed(lost.map(entryCalled))} of the list.`;
    findings.push({ code: 'name-without-cavity', severity: 'caution', message });
  }
  const told = cavities.map((_, j) => names[j] ?? (fit?.unsure.has(j) ? '' : null));
  return { names, findings: [...findings, ...withoutName(cavities, told)] };
}

interface Fit {
  readonly ways: readonly Way[];
  /** The entries that the believable ways give to each cavity, and the cavities to each entry. */
  readonly entriesOf: readonly ReadonlySet<number>[];
  readonly cavitiesOf: readonly ReadonlySet<number>[];
  /** Cavities to which the ways give different names, or a name that may as well go elsewhere. */
  readonly unsure: ReadonlySet<number>;
}

/** null: too little fits. */
function fitOf(
  entries: readonly (NameEntry & ListedPlace)[],
  cavities: readonly NamelessCavity[],
  { lengthMm, widthMm, sha256 }: NamedPlate,
): Fit | null {
  const asWritten = entries.every(({ file }) => file !== undefined && file.length >= 12 && sha256.startsWith(file));
  const all = asWritten ? [wayAsWritten(entries, cavities)] : waysToFit(entries, cavities, { lengthMm, widthMm });
  const best = all[0]!;
  if (!isBelievable(best, entries)) return null;
  const ways = all.filter(({ cost }) => cost <= best.cost + clear);
  const entriesOf = cavities.map(() => new Set<number>());
  const cavitiesOf = entries.map(() => new Set<number>());
  const leftOver = new Set<number>();
  const tell = (j: number, i: number) => {
    entriesOf[j]!.add(i);
    cavitiesOf[i]!.add(j);
  };
  for (const way of ways) {
    for (const [j, i] of way.listedOf.entries()) {
      if (i < 0) leftOver.add(j);
      else tell(j, i);
    }
    if (!asWritten) exchanges(way, clear - (way.cost - best.cost), tell, leftOver);
  }
  const isUnsure = (j: number) => {
    const own = [...entriesOf[j]!];
    if (new Set(own.map((i) => entries[i]!.name)).size > 1) return true;
    return leftOver.has(j) && own.some((i) => cavitiesOf[i]!.size > 1);
  };
  return { ways, entriesOf, cavitiesOf, unsure: new Set([...cavities.keys()].filter(isUnsure)) };
}

/** Tells the other pairs that would make the way's fit worse by no more than `slack`, and what they leave over. */
function exchanges(
  way: Way,
  slack: number,
  tell: (cavity: number, entry: number) => void,
  leftOver: Set<number>,
): void {
  const { foundOf, listedOf, misfits } = way;
  const columns = listedOf.length;
  for (const [i, own] of foundOf.entries()) {
    for (let j = 0; j < columns; j++) {
      const misfit = misfits[i * columns + j]!;
      if (j === own || misfit === Infinity) continue;
      const other = listedOf[j]!;
      // A pair that comes in leaves its old partners to each other, or over.
      const before = (own < 0 ? 0 : misfits[i * columns + own]!) + (other < 0 ? 0 : misfits[other * columns + j]!);
      const rest = own < 0 || other < 0 ? 0 : misfits[other * columns + own]!;
      if (misfit + rest - before > slack) continue;
      tell(j, i);
      if (own >= 0 && other < 0) leftOver.add(own);
    }
  }
}

function ambiguous({ ways, unsure }: Fit, cavities: readonly NamelessCavity[]): Finding {
  const turns = [...new Set(ways.map(({ turnDeg }) => turnDeg))].sort((a, b) => a - b);
  const how = turns.length > 1 ? ` (${listed(turns.map(turnCalled))})` : '';
  const called = cavities.filter((_, j) => unsure.has(j));
  const who =
    called.length === cavities.length
      ? 'no cavity was'
      : `${cavitiesCalled(called)} ${called.length === 1 ? 'was' : 'were'} not`;
  return {
    code: 'names-ambiguous',
    severity: 'caution',
    message: `The list fits this plate in more than one way${how}, so ${who} named. If the numbers of the table are those you mean, name them by number: a text file with one name a line.`,
  };
}

function turnCalled(turnDeg: number): string {
  return turnDeg === 0 ? 'as it lies' : `turned by ${turnDeg}°`;
}

interface ShapePairs {
  readonly pairs: { entry: NameEntry; cavity: NamelessCavity }[];
  readonly settled: ReadonlySet<NameEntry>;
  readonly findings: Finding[];
}

/** Pairs that are alike whatever their place and turn, and each alike to no other. */
function byShape(entries: readonly NameEntry[], cavities: readonly NamelessCavity[]): ShapePairs {
  const shaped = entries.filter(({ volumeMm3, shapeMm }) => volumeMm3 !== undefined && shapeMm !== undefined);
  const differences = shaped.map((entry) =>
    cavities.map((cavity) => {
      const measures = measureDifference(entry, cavity);
      if (!cavity.volumeMm3 || !cavity.shapeMm || measures > sameShape + clear) return Infinity;
      return measures + leastSpreadDifference(entry.shapeMm!, cavity.shapeMm);
    }),
  );
  const pairs: ShapePairs['pairs'] = [];
  const settled = new Set<NameEntry>();
  const unsure = new Set<NamelessCavity>();
  for (const [j, cavity] of cavities.entries()) {
    const alike = shaped.filter((_, i) => differences[i]![j]! <= sameShape);
    if (alike.length === 0) continue;
    const rivals = shaped.filter((_, i) => differences[i]![j]! <= sameShape + clear);
    const places = cavities.filter((_, k) =>
      alike.some((entry) => differences[shaped.indexOf(entry)]![k]! <= sameShape + clear),
    );
    const oneName = new Set(rivals.map(({ name }) => name)).size === 1;
    // Several cavities may share a name only where the list has it as often.
    if (oneName && places.length <= rivals.length) {
      const entry = rivals.find((rival) => !settled.has(rival)) ?? rivals[0]!;
      settled.add(entry);
      pairs.push({ entry, cavity });
    } else {
      unsure.add(cavity);
      for (const rival of rivals) settled.add(rival);
    }
  }
  if (unsure.size === 0) return { pairs, settled, findings: [] };
  const message = `${capital(cavitiesCalled([...unsure]))} could be more than one piece of the list by shape, and the place does not tell: not named.`;
  return { pairs, settled, findings: [{ code: 'names-ambiguous', severity: 'caution', message }] };
}

/** @param names '' where another finding has said already that there is no name */
function withoutName(cavities: readonly NamelessCavity[], names: readonly (string | null)[]): Finding[] {
  const bare = cavities.filter((_, j) => names[j] === null);
  if (bare.length === 0 || bare.length === cavities.length) return [];
  const message = `The list has no name for ${cavitiesCalled(bare)}.`;
  return [{ code: 'cavity-without-name', severity: 'note', message }];
}

function entryCalled({ name, line }: NameEntry): string {
  return `${nameQuoted(name)} (line ${line})`;
}
