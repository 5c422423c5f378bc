import { type GivenAssumptions, readAssumptions } from '../assumptions.js';
import type { RecipeSpec } from '../recipe.js';
import { flag, list, oneOf, type Place, quoted, type Reader, record, text } from '../shape.js';
import type { Silicone } from '../silicone.js';
import type { Stock } from '../stock.js';
import { density, hardness, percent, quantity, ratioReader, timeAt } from './figure-readers.js';
import { recipesReader, resolveRecipes } from './recipe-reader.js';
import { solvents as knownSolvents } from './solvents.js';
import { lots, packs, twoPartLots } from './stock-readers.js';
import { readYaml } from './yaml-text.js';

/** Softener, thinner, pigment or flock: one part, and a density where it takes room in the mix. */
export interface Additive extends Stock {
  readonly name: string;
  readonly kind: 'softener' | 'thinner' | 'pigment' | 'flock';
  readonly densityGPerMl: number;
  /** Mass of one drop, where the person has weighed some. */
  readonly dropG?: number | undefined;
  /** Flashes off as a vapour, so that a mix with it in is never put under vacuum. */
  readonly volatile?: boolean | undefined;
}

/** A lacquer that is sprayed as the barrier film. */
export interface Lacquer extends Stock {
  readonly name: string;
  readonly densityGPerMl: number;
  readonly solidsVolumePct: number;
  /** Name of the solvent in it and of its thinner. */
  readonly solvent: string;
}

/** One part of a silicone, tinted beforehand, that is still on the shelf. */
export interface TintedMaster {
  readonly name: string;
  readonly leftG: number;
}

/** One's own materials. */
export interface Shelf {
  readonly currency: string;
  readonly silicones: readonly Silicone[];
  readonly additives: readonly Additive[];
  readonly lacquers: readonly Lacquer[];
  readonly recipes: readonly RecipeSpec[];
  readonly masters: readonly TintedMaster[];
  /** The workshop's own figures in place of those that are assumed. */
  readonly assume: GivenAssumptions;
}

const silicone: Reader<Silicone> = (value, place) => {
  const given = record(
    { name: text, ratio: ratioReader, 'ratio-by': oneOf('weight', 'volume') },
    {
      density,
      'density-a': density,
      'density-b': density,
      cures: oneOf('platinum', 'tin'),
      'pot-life': timeAt(1, 1440),
      'pot-life-second': timeAt(1, 1440),
      'cure-time': timeAt(1, 20_160),
      hardness,
      tear: quantity('tear', 0.1, 100),
      'tear-method': text,
      elongation: percent(1, 3000),
      shrinkage: percent(0, 10),
      packs,
      lots: twoPartLots,
    },
  )(value, place);
  const { density: mixed, 'density-a': a, 'density-b': b } = given;
  if (mixed === undefined && (a === undefined || b === undefined)) {
    throw place.fault('density-missing', 'No density is given.', "Add 'density', or both 'density-a' and 'density-b'.");
  }
  if (given['ratio-by'] === 'volume' && (a === undefined) !== (b === undefined)) {
    throw place.fault(
      'density-missing',
      'One part has no density.',
      "A ratio by volume needs 'density-a' and 'density-b'.",
    );
  }
  if (given.tear !== undefined && given['tear-method'] === undefined) {
    const remedy = "Add 'tear-method', as the data sheet states it: ISO 34-1 method B.";
    throw place.at('tear').fault('tear-method-missing', 'Tear figures of different methods do not compare.', remedy);
  }
  checkPotLives(given['pot-life'], given['pot-life-second'], place);
  return {
    name: given.name,
    ratio: given.ratio,
    ratioBy: given['ratio-by'],
    densityAGPerMl: a ?? mixed ?? b!,
    densityBGPerMl: b ?? mixed ?? a!,
    densityMixGPerMl: mixed,
    typical: false,
    cures: given.cures,
    potLife: given['pot-life'],
    potLifeSecond: given['pot-life-second'],
    cureTime: given['cure-time'],
    hardness: given.hardness,
    tearNPerMm: given.tear,
    tearMethod: given['tear-method'],
    elongationPct: given.elongation,
    shrinkagePct: given.shrinkage,
    packs: given.packs,
    lots: given.lots,
  };
};

function checkPotLives(first: Silicone['potLife'], second: Silicone['potLife'], place: Place): void {
  if (second === undefined) return;
  const at = place.at('pot-life-second');
  if (first?.atC === undefined || second.atC === undefined) {
    const message = 'Two pot lives say something only with their temperatures.';
    throw at.fault('temperature-missing', message, 'Write both like 45 min at 23 C.');
  }
  const warmerIsLonger = (first.atC - second.atC) * (first.minutes - second.minutes) >= 0;
  if (warmerIsLonger) {
    const message = `The pot life does not fall as it gets warmer (${first.minutes} min at ${first.atC} °C).`;
    throw at.fault('pot-life-rises', message, 'Look at both figures and their temperatures.');
  }
}

function additive(kind: Additive['kind']): Reader<Additive> {
  return (value, place) => {
    const given = record({ name: text, density }, { drop: quantity('mass', 1e-4, 1), volatile: flag, packs, lots })(
      value,
      place,
    );
    const { name, density: densityGPerMl, drop: dropG, volatile = kind === 'thinner' } = given;
    return { name, kind, densityGPerMl, dropG, volatile, packs: given.packs, lots: given.lots };
  };
}

const lacquer: Reader<Lacquer> = (value, place) => {
  const given = record(
    {
      name: text,
      density,
      'solids-by-volume': percent(1, 100),
      solvent: oneOf(...knownSolvents.map(({ name }) => name)),
    },
    { packs, lots },
  )(value, place);
  const { name, density: densityGPerMl, 'solids-by-volume': solidsVolumePct, solvent } = given;
  return { name, densityGPerMl, solidsVolumePct, solvent, packs: given.packs, lots: given.lots };
};

const master: Reader<TintedMaster> = (value, place) => {
  const given = record({ name: text, left: quantity('mass', 0, 1e6) })(value, place);
  return { name: given.name, leftG: given.left };
};

const shelf = record(
  {},
  {
    currency: text,
    silicones: list(silicone),
    softeners: list(additive('softener')),
    thinners: list(additive('thinner')),
    pigments: list(additive('pigment')),
    flocks: list(additive('flock')),
    lacquers: list(lacquer),
    recipes: recipesReader,
    masters: list(master),
    assume: readAssumptions,
  },
);

/** No two entries of a shelf share a name: a plan could mean either. */
function checkNames(value: unknown, place: Place): void {
  const seen = new Set<string>();
  for (const [key, entries] of Object.entries(value as Record<string, unknown>)) {
    if (!Array.isArray(entries)) continue;
    entries.forEach(({ name }: { name: string }, index) => {
      const at = place.at(key).at(index).at('name');
      if (seen.has(name))
        throw at.fault('name-twice', `The name ${quoted(name)} is taken.`, 'Give each entry its own.');
      seen.add(name);
    });
  }
}

/**
 * Reads a shelf file, YAML or JSON.
 * @throws Fault `shelf-…` with line, key and what to do
 */
export function readShelf(yaml: string): Shelf {
  const { value, place } = readYaml(yaml, 'shelf');
  const given = shelf(value, place);
  checkNames(value, place);
  const silicones = given.silicones ?? [];
  const { softeners = [], thinners = [], pigments = [], flocks = [] } = given;
  const additives = [...softeners, ...thinners, ...pigments, ...flocks];
  return {
    currency: given.currency ?? '',
    silicones,
    additives,
    recipes: resolveRecipes(given.recipes ?? [], silicones, additives, place.at('recipes')),
    lacquers: given.lacquers ?? [],
    masters: given.masters ?? [],
    assume: given.assume ?? {},
  };
}
