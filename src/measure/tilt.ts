import type { TaskOptions } from '../base/source.js';
import type { FillBody } from '../cavity/fill-body.js';
import { airTraps } from './air-traps.js';
import { breathe } from './breathe.js';
import { columnsOf, type Tilt } from './columns.js';

/** What a tilt of the plate does to the air that stays. */
export interface TiltedAir extends Tilt {
  readonly volumeMm3: number;
}

export interface TiltStudy {
  readonly levelMm3: number;
  /** Of the tilts that were tried the one that traps least; level where none is better. */
  readonly best: TiltedAir;
  readonly tried: readonly TiltedAir[];
}

/** A plate is tilted by no more than this for the first coat: the coat would run off. */
export const mostTiltDeg = 5;

const directions = 8;
const mostColumns = 20_000;
const leastStepMm = 0.15;

/**
 * Air that stays in all cavities of a plate while a first coat is worked in, level and tilted in eight directions. For
 * the first coat only: a full open plate is filled level.
 */
export async function tiltStudy(
  bodies: readonly FillBody[],
  tiltDeg = mostTiltDeg,
  task: TaskOptions = {},
): Promise<TiltStudy> {
  const pause = breathe(task, 'tilt');
  const tried: TiltedAir[] = [];
  for (let k = -1; k < directions; k++) {
    const tilt = k < 0 ? { towardsDeg: 0, tiltDeg: 0 } : { towardsDeg: (k * 360) / directions, tiltDeg };
    let volumeMm3 = 0;
    for (const body of bodies) {
      await pause((k + 1) / (directions + 1));
      const traps = airTraps(columnsOf(body, mostColumns, leastStepMm, tilt), body.noiseMm);
      volumeMm3 += traps.reduce((sum, trap) => sum + trap.volumeMm3, 0);
    }
    tried.push({ ...tilt, volumeMm3 });
  }
  const level = tried[0]!;
  // A tilt is a bother: it must be worth a tenth.
  const best = tried.reduce((least, tilted) => (tilted.volumeMm3 < 0.9 * least.volumeMm3 ? tilted : least), level);
  return { levelMm3: level.volumeMm3, best, tried };
}
