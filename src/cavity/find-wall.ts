import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { NoiseGrain } from '../plate/noise-grain.js';
import { roundingMm, type ScrapeSurface } from '../plate/scrape-surface.js';
import { cleanWall } from './clean-wall.js';
import { depthLimitMm } from './deep-parts.js';
import { noisyWall } from './noisy-wall.js';
import type { WallField } from './wall-field.js';

/** What a fitted bow may leave of a clean land, mm. */
export const bowRestMm = 2e-3;

/** The wall of a plate in its frame. Small deviations of the land are snapped away, larger ones taken out as noise. */
export function findWall(
  mesh: TriangleMesh,
  { noiseMm, grain }: { readonly noiseMm: number; readonly grain: NoiseGrain },
  coordinateStepMm: number,
  scrape: ScrapeSurface['kind'],
): WallField {
  const limitMm = depthLimitMm(noiseMm);
  if (noiseMm >= roundingMm) return noisyWall(mesh, limitMm, noiseMm, grain);
  const snapMm = Math.max(6 * noiseMm, 4 * coordinateStepMm, scrape === 'bowed' ? bowRestMm : 0);
  return cleanWall(mesh, limitMm, snapMm);
}
