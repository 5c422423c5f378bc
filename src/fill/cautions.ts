import type { WayOfCasting } from './allowances.js';
import type { Recipe } from './recipe.js';

/** What the plan uses that can hurt someone or spoil the work. */
export interface Hazards {
  readonly way: WayOfCasting;
  readonly recipes: readonly Recipe[];
  /** The mix goes under vacuum. */
  readonly degassed: boolean;
}

interface Caution {
  readonly applies: (hazards: Hazards) => boolean;
  readonly text: string;
  /** Where it is about the work at the scale: always, or where the mix itself holds a solvent. */
  readonly atScale?: 'always' | 'with solvent';
}

const always = (): boolean => true;
const encapsulated = ({ way }: Hazards): boolean => way === 'encapsulated';
const holds =
  (...kinds: string[]) =>
  ({ recipes }: Hazards): boolean =>
    recipes.some(({ portions }) => portions.some(({ kind }) => kinds.includes(kind)));
const holdsSolvent = ({ recipes }: Hazards): boolean =>
  recipes.some(({ additives }) => additives.some(({ additive }) => additive.volatile));

const neverVacuum = 'Never vacuum a mix with solvent in it.';

/** Every caution, in the order it is shown; each appears once, where it applies. */
const all: readonly Caution[] = [
  {
    applies: always,
    text: 'Nitrile or vinyl gloves, never latex: latex stops the cure, as sulphur, amines, tin and fresh printed resin do.',
    atScale: 'always',
  },
  {
    applies: ({ recipes }) => recipes.some(({ silicone }) => silicone.cures === 'tin'),
    text: 'A material of this plan cures by tin: not for skin.',
    atScale: 'always',
  },
  {
    applies: ({ recipes }) => recipes.some(({ silicone }) => silicone.cures !== 'tin'),
    text: 'Tin-cured systems are not for skin: check on each sheet how the material cures.',
  },
  {
    applies: (hazards) => encapsulated(hazards) || holdsSolvent(hazards),
    text: 'Spray with extraction, on until the air is clear, and an organic-vapour and particulate respirator; no flame, spark, heater or hairdryer.',
    atScale: 'with solvent',
  },
  {
    applies: (hazards) => encapsulated(hazards) || holdsSolvent(hazards),
    text: 'Rags with solvent go into a lidded metal bin.',
    atScale: 'with solvent',
  },
  { applies: holdsSolvent, text: neverVacuum, atScale: 'with solvent' },
  {
    applies: holds('pigment', 'flock'),
    text: 'Powder and flock are not breathed: particulate mask, no blowing down with air.',
    atScale: 'always',
  },
  { applies: always, text: 'Patch-test the whole stack on the wearer days before, adhesive and remover included.' },
  { applies: always, text: 'Data sheets, local rules and licensed practice come first.', atScale: 'always' },
];

export function cautionsFor(hazards: Hazards): string[] {
  return all.filter((caution) => caution.applies(hazards)).map((caution) => caution.text);
}

/** Those of a plan's cautions that are about the work at the scale. */
export function cautionsAtScale(cautions: readonly string[]): string[] {
  const solvent = cautions.includes(neverVacuum);
  const there = all.filter(({ atScale }) => atScale === 'always' || (atScale === 'with solvent' && solvent));
  return cautions.filter((text) => there.some((caution) => caution.text === text));
}
