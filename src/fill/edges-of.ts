import type { EdgeSettings } from '../measure/edge-settings.js';
import type { WayOfCasting } from './allowances.js';
import type { Recipe } from './recipe.js';

/** What the survey judges edges by: the way of casting, and the figures of the mix. */
export function edgesOf(recipe: Recipe, way: WayOfCasting): EdgeSettings {
  return { way, ...sheetFigures(recipe) };
}

/** What the data sheet of a mix states of its strength. A softened mix is weaker than its sheet says: it has none. */
export function sheetFigures({ silicone, portions }: Recipe): Pick<EdgeSettings, 'tearNPerMm' | 'elongationPct'> {
  const { tearNPerMm, elongationPct } = silicone;
  if (portions.some(({ kind }) => kind === 'softener' || kind === 'thinner')) return {};
  return { ...(tearNPerMm && { tearNPerMm }), ...(elongationPct && { elongationPct }) };
}
