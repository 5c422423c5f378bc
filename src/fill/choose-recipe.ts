import { suggestName } from '../base/closest-name.js';
import { Fault } from '../base/fault.js';
import { genericSilicones } from './generic-silicones.js';
import { makeRecipe, neatRecipe, type Recipe } from './recipe.js';
import type { Shelf } from './shelf/shelf.js';
import type { Silicone } from './silicone.js';

/** A material by name, and figures given in place of its own. */
export interface RecipeChoice {
  /** A recipe or a silicone of the shelf, or a built-in one. */
  readonly name?: string | undefined;
  readonly ratio?: readonly [number, number] | undefined;
  readonly ratioBy?: 'weight' | 'volume' | undefined;
  /** Of the neat mix; stands for both parts where theirs are not given. */
  readonly densityGPerMl?: number | undefined;
  readonly densityAGPerMl?: number | undefined;
  readonly densityBGPerMl?: number | undefined;
}

/**
 * The material of a plan: of the shelf, of the built-in ones, or as given figure by figure. With a ratio and a density
 * of one's own, and no name, it is a material of its own, no longer typical. Where nothing is said, the shelf's first
 * silicone, and without a shelf the first built-in one.
 * @throws Fault `material-unknown`
 */
export function chooseRecipe(choice: RecipeChoice, shelf?: Pick<Shelf, 'silicones' | 'recipes'>): Recipe {
  const spec = shelf?.recipes.find((recipe) => recipe.name === choice.name);
  if (spec !== undefined) return makeRecipe({ ...spec, silicone: changed(spec.silicone, choice) });
  const silicones = [...(shelf?.silicones ?? []), ...genericSilicones];
  const base = choice.name === undefined ? silicones[0]! : silicones.find(({ name }) => name === choice.name);
  if (base !== undefined) return neatRecipe(changed(base, choice));
  const known = [...(shelf?.recipes ?? []), ...silicones].map(({ name }) => name);
  throw new Fault({
    code: 'material-unknown',
    kind: 'usage',
    message: `No material is called '${choice.name}'.`,
    remedy: suggestName(choice.name!, known),
  });
}

/** The silicone with the given figures in place of its own. */
function changed(base: Silicone, choice: RecipeChoice): Silicone {
  const { ratio, ratioBy, densityGPerMl: mix, densityAGPerMl: a, densityBGPerMl: b } = choice;
  if ((ratio ?? ratioBy ?? mix ?? a ?? b) === undefined) return base;
  const own =
    choice.name === undefined && ratio !== undefined && (mix !== undefined || (a !== undefined && b !== undefined));
  const figures = {
    ratio: ratio ?? base.ratio,
    ratioBy: ratioBy ?? (own ? ('weight' as const) : base.ratioBy),
    densityAGPerMl: a ?? mix ?? base.densityAGPerMl,
    densityBGPerMl: b ?? mix ?? base.densityBGPerMl,
    densityMixGPerMl: mix ?? (a === undefined && b === undefined ? base.densityMixGPerMl : undefined),
  };
  // Nothing else is known of a material that is given figure by figure: no pot life, no cure.
  return own ? { name: 'material as given', typical: false, ...figures } : { ...base, ...figures };
}
