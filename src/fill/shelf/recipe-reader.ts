import { suggestName } from '../../base/closest-name.js';
import type { AdditiveUse, RecipeSpec } from '../recipe.js';
import { list, number, oneOf, type Place, quoted, record, text } from '../shape.js';
import type { Silicone } from '../silicone.js';
import { percent, quantity } from './figure-readers.js';
import type { Additive } from './shelf.js';

const use = record(
  { what: text, of: oneOf('A', 'B', 'A+B', 'total') },
  { share: percent(0, 300), drops: number(0.1, 1e4), per: quantity('mass', 0.1, 1e5) },
);
const recipe = record({ name: text, silicone: text }, { 'tint-into': oneOf('A', 'B'), add: list(use) });

export const recipesReader = list(recipe);

function find<T extends { name: string }>(name: string, known: readonly T[], place: Place, what: string): T {
  const found = known.find((entry) => entry.name === name);
  if (found !== undefined) return found;
  const names = known.map((entry) => entry.name);
  const remedy = names.length === 0 ? `Put ${what} of this name on the shelf.` : suggestName(name, names);
  throw place.fault('name-unknown', `The shelf has no ${what} ${quoted(name)}.`, remedy);
}

/** Turns the names in the recipes of a shelf into its silicones and additives. */
export function resolveRecipes(
  given: ReturnType<typeof recipesReader>,
  silicones: readonly Silicone[],
  additives: readonly Additive[],
  place: Place,
): RecipeSpec[] {
  return given.map((one, index) => {
    const at = place.at(index);
    const uses = (one.add ?? []).map((entry, i) => resolveUse(entry, additives, at.at('add').at(i)));
    const ofTotal = uses.reduce((sum, { of, pct }) => sum + (of === 'total' ? pct : 0), 0);
    if (ofTotal >= 95) {
      const remedy = 'Check what the shares are of: of A+B, perhaps.';
      throw at.at('add').fault('shares-too-large', `Shares of the total come to ${ofTotal} %.`, remedy);
    }
    return {
      name: one.name,
      silicone: find(one.silicone, silicones, at.at('silicone'), 'silicone'),
      additives: uses,
      tintInto: one['tint-into'] ?? 'B',
    };
  });
}

function resolveUse(
  { what, of, share, drops, per }: ReturnType<typeof use>,
  additives: readonly Additive[],
  at: Place,
): AdditiveUse {
  const additive = find(what, additives, at.at('what'), 'additive');
  if ((share === undefined) === (drops === undefined)) {
    throw at.fault(
      'share-or-drops',
      `${quoted(what)} needs either a share or drops.`,
      "Add 'share: 2 %', or 'drops: 3' and 'per: 100 g'.",
    );
  }
  if (share !== undefined) return { additive, pct: share, of };
  if (per === undefined) {
    throw at.at('per').fault('key-missing', "The key 'per' is missing.", "Say for how much: 'per: 100 g'.");
  }
  if (additive.dropG === undefined) {
    const remedy = `Weigh twenty drops, divide, and put 'drop: 0.03 g' to ${quoted(what)}.`;
    throw at.at('drops').fault('drop-unweighed', `No drop of ${quoted(what)} has been weighed.`, remedy);
  }
  return { additive, pct: (100 * drops! * additive.dropG) / per, of };
}
