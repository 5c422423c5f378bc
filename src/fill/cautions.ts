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
}

const always = (): boolean => true;
const encapsulated = ({ way }: Hazards): boolean => way === 'encapsulated';
const holds =
  (...kinds: string[]) =>
  ({ recipes }: Hazards): boolean =>
    recipes.some(({ portions }) => portions.some(({ kind }) => kinds.includes(kind)));
const holdsSolvent = ({ recipes }: Hazards): boolean =>
  recipes.some(({ additives }) => additives.some(({ additive }) => additive.volatile));

/** Every caution, in the order it is shown; each appears once, where it applies. */
const all: readonly Caution[] = [
  {
    applies: always,
    text: 'Nitrile or vinyl gloves, never latex: latex stops the cure, as sulphur, amines, tin and fresh printed resin do.',
  },
  {
    applies: ({ recipes }) => recipes.some(({ silicone }) => silicone.cures === 'tin'),
    text: 'A material of this plan cures by tin: not for skin.',
  },
  {
    applies: ({ recipes }) => recipes.some(({ silicone }) => silicone.cures !== 'tin'),
    text: 'Tin-cured systems are not for skin: check on each sheet how the material cures.',
  },
  {
    applies: (hazards) => encapsulated(hazards) || holdsSolvent(hazards),
    text: 'Spray with extraction, on until the air is clear, and an organic-vapour and particulate respirator; no flame, spark, heater or hairdryer.',
  },
  {
    applies: (hazards) => encapsulated(hazards) || holdsSolvent(hazards),
    text: 'Rags with solvent go into a lidded metal bin.',
  },
  { applies: holdsSolvent, text: 'Never vacuum a mix with solvent in it.' },
  {
    applies: holds('pigment', 'flock'),
    text: 'Powder and flock are not breathed: particulate mask, no blowing down with air.',
  },
  { applies: always, text: 'Patch-test the whole stack on the wearer days before, adhesive and remover included.' },
  { applies: always, text: 'Data sheets, local rules and licensed practice come first.' },
];

export function cautionsFor(hazards: Hazards): string[] {
  return all.filter((caution) => caution.applies(hazards)).map((caution) => caution.text);
}
