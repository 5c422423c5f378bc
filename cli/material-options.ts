import { type Command, Option } from 'commander';
import type { Recipe } from '../src/fill/recipe.js';
import type { Shelf } from '../src/fill/shelf/shelf.js';
import type { Io } from './io.js';
import { amount, ratio } from './option-values.js';

/** The options that name a material, for every command that needs one. */
export interface MaterialFlags {
  shelf?: string;
  material?: string;
  density?: number;
  densityA?: number;
  densityB?: number;
  ratio?: [number, number];
  ratioBy?: 'weight' | 'volume';
}

const density = amount(0.5, 3, 'g/ml');

export function addMaterialOptions(command: Command): Command {
  return command
    .option('--shelf <file>', 'your own materials (see: plateful shelf init)')
    .option('--material <name>', 'a recipe or silicone of the shelf, or a built-in one')
    .option('--density <g/ml>', 'density of the mixed material', density)
    .option('--density-a <g/ml>', 'density of part A', density)
    .option('--density-b <g/ml>', 'density of part B', density)
    .option('--ratio <A:B>', 'parts of A to parts of B', ratio)
    .addOption(new Option('--ratio-by <what>', 'what the ratio counts').choices(['weight', 'volume']));
}

export async function shelfOf(path: string | undefined, io: Io): Promise<Shelf | undefined> {
  if (path === undefined) return undefined;
  const [{ readShelf }, { readNamedText }] = await Promise.all([
    import('../src/fill/shelf/shelf.js'),
    import('./read-text-file.js'),
  ]);
  return readNamedText(path, io, readShelf);
}

/** The material that the options name. @throws Fault `material-unknown`, `shelf-…` */
export async function recipeOf(flags: MaterialFlags, shelf: Shelf | undefined): Promise<Recipe> {
  const { chooseRecipe } = await import('../src/fill/choose-recipe.js');
  const { material: name, ratio: parts, ratioBy, density: mix, densityA, densityB } = flags;
  const choice = {
    name,
    ratio: parts,
    ratioBy,
    densityGPerMl: mix,
    densityAGPerMl: densityA,
    densityBGPerMl: densityB,
  };
  return chooseRecipe(choice, shelf);
}
