import { applyInPlace, compose } from '../mesh/rigid.js';
import { lowerTo, type Plate } from '../plate/find-plate.js';
import { fitBow } from '../plate/fit-bow.js';
import { flatness } from '../plate/flatness.js';
import { type LandCells, landCells } from '../plate/land-cells.js';
import { fitLand, levelPlane } from '../plate/land-fit.js';
import { level } from '../plate/level.js';
import { type LevelDoubt, levelDoubt } from '../plate/level-doubt.js';
import { calmCellMm, type NoiseGrain, noGrain, noiseGrain } from '../plate/noise-grain.js';
import { flatSurface, roundingMm } from '../plate/scrape-surface.js';
import { depthLimitMm } from './deep-parts.js';
import { bowRestMm, findWall } from './find-wall.js';
import type { WallField } from './wall-field.js';

export interface SettledLand {
  readonly plate: Plate;
  readonly wall: WallField;
  readonly noiseMm: number;
  readonly grain: NoiseGrain;
  /** How well the height of the scrape surface is known. */
  readonly level: LevelDoubt;
  readonly flatnessMm: number;
  /** The land's cells: heights over the scrape surface. */
  readonly cells: LandCells;
}

/** The land is fitted again this often with the cavities masked out. */
const rounds = 3;

/** A land that is flat within this is scraped flat, mm (common practice, no source). */
export const flatLimitMm = 0.1;

/**
 * The wall of the cavities, and the plate settled on a land that the cavities do not touch. Under noise the first fit
 * cannot tell a shallow feather from the land and sinks by up to a fifth of the noise; masked out, it does not. Here it
 * is decided whether the scrape surface is flat or bowed. The plate's mesh is moved in place.
 */
export function settleLand(found: Plate, asked?: 'flat' | 'bowed'): SettledLand {
  const { mesh, coordinateStepMm, flatZ } = found;
  let { toPlate, scrape } = found;
  let noiseMm = found.landSigmaMm;
  const grainOf = (mask: Uint8Array) =>
    noiseMm < roundingMm ? noGrain : noiseGrain(mesh, isNear(mesh.positions, mask, 5 * noiseMm));
  let grain = grainOf(new Uint8Array(flatZ.length).fill(1));
  let wall = findWall(mesh, { noiseMm, grain }, coordinateStepMm, scrape.kind);
  // Loose pieces have no land to settle on: their backs were fitted one by one.
  const isClean = () =>
    found.pieces !== undefined || (noiseMm < roundingMm && scrape.kind === 'flat' && asked !== 'bowed');
  for (let round = 0; round < rounds && !isClean(); round++) {
    const isLand = landMask(wall);
    const band = Math.max(6 * noiseMm, scrape.kind === 'bowed' ? bowRestMm : roundingMm);
    const flat = landCells(
      mesh,
      flatZ,
      Number.POSITIVE_INFINITY,
      isNear(mesh.positions, isLand, band),
      calmCellMm(noiseMm, grain),
    );
    const bowed = asked === 'bowed' || (asked !== 'flat' && flatness(flat.x, flat.y, flat.z) > flatLimitMm);
    const before = noiseMm;
    let shift = 0;
    const surface = bowed ? fitBow(flat, false) : null;
    if (surface !== null) {
      scrape = surface;
      lowerTo(mesh, flatZ, surface);
      const rest = fitLand(mesh, levelPlane, band, band, isLand);
      if (rest === null) break;
      noiseMm = rest.sigma;
      shift = rest.height;
    } else {
      scrape = flatSurface;
      lowerTo(mesh, flatZ, flatSurface);
      const land = fitLand(mesh, levelPlane, Math.max(band, 3 * flatLimitMm), band, isLand);
      if (land === null) break;
      const levelling = level(land);
      applyInPlace(levelling, mesh.positions);
      toPlate = compose(levelling, toPlate);
      for (let v = 0; v < flatZ.length; v++) flatZ[v] = mesh.positions[3 * v + 2]!;
      noiseMm = land.sigma;
      shift = land.height;
    }
    if (round === 0) grain = grainOf(landMask(wall));
    wall = findWall(mesh, { noiseMm, grain }, coordinateStepMm, scrape.kind);
    if (round > 0 && Math.abs(shift) < noiseMm / 100 && Math.abs(before - noiseMm) < noiseMm / 10) break;
  }
  // Land that is low is land too, as long as it is no hollow.
  const near = isNear(mesh.positions, landMask(wall), Math.max(6 * noiseMm, depthLimitMm(noiseMm)));
  const flat = landCells(mesh, flatZ, Number.POSITIVE_INFINITY, near, calmCellMm(noiseMm, grain));
  return {
    plate: { ...found, toPlate, scrape, landSigmaMm: noiseMm },
    wall,
    noiseMm,
    grain,
    level: levelDoubt(mesh, isNear(mesh.positions, near, 6 * noiseMm), noiseMm, grain, scrape.kind, coordinateStepMm),
    flatnessMm: flatness(flat.x, flat.y, flat.z),
    cells: { ...flat, z: flat.z.map((z, i) => z - scrape.heightAt(flat.x[i]!, flat.y[i]!)) },
  };
}

/** Vertices that no hollow reaches. */
function landMask(wall: WallField): Uint8Array {
  const { reach, labels } = wall;
  const mask = new Uint8Array(reach.length);
  for (let v = 0; v < mask.length; v++) mask[v] = reach[v] === 0 && labels[v] === 0 ? 1 : 0;
  return mask;
}

/** Of some vertices those within a band round z = 0: what stands far above the land or hangs under it is not land. */
function isNear(positions: Float64Array, flags: Uint8Array, band: number): Uint8Array {
  const near = flags.slice();
  for (let v = 0; v < near.length; v++) if (Math.abs(positions[3 * v + 2]!) > band) near[v] = 0;
  return near;
}
