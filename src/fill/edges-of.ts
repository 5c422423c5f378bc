import type { EdgeSettings } from '../measure/edge-settings.js';
import type { WayOfCasting } from './allowances.js';
import type { Recipe } from './recipe.js';

/**
 * What the survey judges edges by: the way of casting, and the figures of the mix where its data sheet states them. A
 * softened mix is weaker than its sheet says, so its figures are not used.
 */
export function edgesOf({ silicone, portions }: Recipe, way: WayOfCasting): EdgeSettings {
  const { tearNPerMm, elongationPct } = silicone;
  if (portions.some(({ kind }) => kind === 'softener' || kind === 'thinner')) return { way };
  return { way, ...(tearNPerMm && { tearNPerMm }), ...(elongationPct && { elongationPct }) };
}
