import { inBatches } from '../base/batches.js';
import type { Threads } from '../base/threads.js';
import { buildFillBody, calmLoops } from '../cavity/build-fill-body.js';
import type { FillBody } from '../cavity/fill-body.js';
import { type FillShape, fillShape, fillShapeOver } from '../cavity/fill-shape.js';
import type { HollowSurface } from '../cavity/find-hollows.js';
import { cutPatch, cutRimStrip, type Patch } from '../cavity/patch.js';
import { rimOfPatch } from '../cavity/rim-of-patch.js';
import type { SettledLand } from '../cavity/settle-land.js';
import type { WallField } from '../cavity/wall-field.js';
import { triangleArea } from '../mesh/triangle-area.js';
import type { Plate } from '../plate/find-plate.js';
import { pieceOf } from '../plate/lay-pieces.js';
import { type LevelArea, levelArea, levelSigmaMm3 } from '../plate/level-doubt.js';
import { facetSigmaMm3 } from './facet-doubt.js';
import { ask } from './jobs.js';
import { noiseSigmaMm3 } from './noise-doubt.js';
import { measureOpening } from './opening.js';
import { integralUnderZero } from './volume.js';
import type { WallFlaws } from './wall-flaws.js';

/** A hollow with its fill body and first measures, before it has a role, a number and a name. */
export interface MeasuredHollow {
  readonly surface: HollowSurface;
  /** What was mended in its wall or is wrong with it; undefined: nothing. */
  readonly flaws?: WallFlaws;
  readonly body: FillBody | null;
  /** Rim loops in plan, as in the fill body; empty where the rim is not known. */
  readonly rimLoops: readonly Float64Array[];
  /** How the fill is spread in plan; null where the hollow is not closed. */
  readonly shapeMm: FillShape | null;
  /** Volume by the integral over the raw wall. */
  readonly volumeMm3: number | null;
  /** Volume of the closed fill body. */
  readonly volumeCheckMm3: number | null;
  readonly volumeUncertaintyMm3: number | null;
  /** What the integral runs over in plan: the opening and its margin; null where the rim is not known. */
  readonly levelArea: LevelArea | null;
  readonly openingAreaMm2: number | null;
  readonly rimLengthMm: number | null;
  readonly wallAreaMm2: number | null;
  readonly depthMm: number;
  readonly centreMm: [number, number];
  readonly boxMm: [number, number, number, number, number, number];
}

/**
 * @param quick without the fill body and what is measured on it
 * @param threads to build the fill body in
 */
export async function measureHollow(
  plate: Plate,
  wall: WallField,
  land: Pick<SettledLand, 'grain' | 'level'>,
  surface: HollowSurface,
  quick: boolean,
  threads?: Threads,
): Promise<MeasuredHollow> {
  const { mesh } = plate;
  const { noiseMm } = wall;
  const boxMm = boxUnderZero(mesh.positions, mesh.triangles, wall.z, surface.wall);
  // A wall without noise is as deep as its box.
  if (wall.calm !== wall.z) boxMm[2] = heightAtDeepest(mesh.triangles, wall, surface.wall);
  const base = { surface, boxMm, depthMm: -boxMm[2] };
  const middle: [number, number] = [(boxMm[0] + boxMm[3]) / 2, (boxMm[1] + boxMm[4]) / 2];
  const unknown = {
    body: null,
    rimLoops: [],
    shapeMm: null,
    volumeMm3: null,
    volumeCheckMm3: null,
    volumeUncertaintyMm3: null,
    openingAreaMm2: null,
    rimLengthMm: null,
    wallAreaMm2: null,
    levelArea: null,
    centreMm: middle,
  };
  if (surface.runsOut) return { ...base, ...unknown };
  const integral = integralUnderZero(mesh, surface.integral, wall);
  const built = quick ? null : await fillBodyOf(cutPatch(mesh, wall.z, surface.wall), noiseMm, threads);
  const rimLoops =
    built?.body.rimLoops ?? calmLoops(rimOfPatch(cutRimStrip(mesh, wall.z, surface.wall, middle)), noiseMm);
  const opening = measureOpening(rimLoops);
  if (!(opening.areaMm2 > 0)) return { ...base, ...unknown, volumeMm3: positive(integral.volumeMm3) };
  // A loose piece has no land: its scrape surface was fitted to its back.
  const backMm = plate.pieces === undefined ? 0 : pieceOf(plate.pieces, surface.wall[0]!).levelSigmaMm;
  const reached = levelArea(land.level, mesh, surface.integral);
  return {
    ...base,
    body: built?.body ?? null,
    rimLoops,
    shapeMm: built === null ? fillShapeOver(mesh, surface.wall) : fillShape(built.body),
    volumeMm3: positive(integral.volumeMm3),
    volumeCheckMm3: built?.volumeMm3 ?? null,
    // The height of the scrape surface over all that the integral runs over, the noise of its points, what is between.
    volumeUncertaintyMm3: Math.hypot(
      levelSigmaMm3(land.level, [reached]),
      noiseSigmaMm3(mesh, surface.integral, noiseMm, land.grain),
      facetSigmaMm3(mesh, surface.integral, noiseMm),
      backMm * opening.areaMm2,
    ),
    levelArea: reached,
    openingAreaMm2: opening.areaMm2,
    rimLengthMm: opening.rimLengthMm,
    wallAreaMm2: built === null ? null : wallArea(built.body),
    centreMm: opening.centreMm,
  };
}

function fillBodyOf(patch: Patch, noiseMm: number, threads?: Threads) {
  return threads ? ask(threads, 'fill body', { patch, noiseMm }) : buildFillBody(patch, noiseMm);
}

function positive(value: number): number | null {
  return value > 0 ? value : null;
}

function wallArea(body: FillBody): number {
  let area = 0;
  for (let t = 0; t < body.wallTriangles; t++) area += triangleArea(body, t);
  return area;
}

/** The height at the vertex that is deepest when calmly smoothed: the deepest of many noisy heights would be too deep. */
function heightAtDeepest(triangles: Uint32Array, { calm, z }: WallField, own: Uint32Array): number {
  let deepest = triangles[3 * own[0]!]!;
  inBatches(own.length, (from, to) => {
    deepest = deeper(triangles, calm, own, from, to, deepest);
  });
  return z[deepest]!;
}

function deeper(
  triangles: Uint32Array,
  calm: Float64Array,
  own: Uint32Array,
  from: number,
  to: number,
  before: number,
): number {
  let deepest = before;
  for (let i = from; i < to; i++) {
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * own[i]! + k]!;
      if (calm[v]! < calm[deepest]!) deepest = v;
    }
  }
  return deepest;
}

function boxUnderZero(
  positions: Float64Array,
  triangles: Uint32Array,
  z: Float64Array,
  own: Uint32Array,
): [number, number, number, number, number, number] {
  const box = new Float64Array(6).fill(Infinity, 0, 3).fill(-Infinity, 3);
  inBatches(own.length, (from, to) => widenUnderZero(box, positions, triangles, z, own, from, to));
  return [box[0]!, box[1]!, box[2]!, box[3]!, box[4]!, box[5]!];
}

function widenUnderZero(
  box: Float64Array,
  positions: Float64Array,
  triangles: Uint32Array,
  z: Float64Array,
  own: Uint32Array,
  from: number,
  to: number,
): void {
  let x0 = box[0]!;
  let y0 = box[1]!;
  let z0 = box[2]!;
  let x1 = box[3]!;
  let y1 = box[4]!;
  let z1 = box[5]!;
  for (let i = from; i < to; i++) {
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * own[i]! + k]!;
      const x = positions[3 * v]!;
      const y = positions[3 * v + 1]!;
      const height = Math.min(0, z[v]!);
      if (x < x0) x0 = x;
      if (x > x1) x1 = x;
      if (y < y0) y0 = y;
      if (y > y1) y1 = y;
      if (height < z0) z0 = height;
      if (height > z1) z1 = height;
    }
  }
  box[0] = x0;
  box[1] = y0;
  box[2] = z0;
  box[3] = x1;
  box[4] = y1;
  box[5] = z1;
}
