import { suggestName } from '../../base/closest-name.js';
import { Fault } from '../../base/fault.js';
import type { SavedMix } from '../read-mix.js';
import type { Cast, Grade, Reason, Run } from './entry.js';

/** A cast piece as a person types it. */
export interface CastGiven {
  /** Name or number, with `2:` before it for the second plate. */
  readonly piece: string;
  readonly massG: number;
  readonly grade: Grade;
  readonly reason?: Reason | undefined;
}

export interface RunGiven {
  readonly weighed: readonly { part: string; massG: number }[];
  readonly casts: readonly CastGiven[];
  readonly leftG: number;
  readonly note?: string | undefined;
}

/**
 * The run of one batch of a saved plan, with what the plan foretold beside what was weighed.
 * @throws Fault `cast-unknown` where a piece is not in the batch
 */
export function runFromMix(mix: SavedMix, batchIndex: number, given: RunGiven): Run {
  const batch = mix.batches[batchIndex]!;
  const material = mix.materials[batch.material]!;
  const massOf = (plate: number, number: number) =>
    mix.perCavity.find((entry) => entry.plate === plate && entry.number === number)?.massG ?? 0;
  const sweptMm2 = batch.fills.reduce((sum, { plate, count, cavities }) => {
    const fill = mix.perFill.find(
      (entry) =>
        entry.plate === plate && entry.material === batch.material && cavities.every((n) => entry.cavities.includes(n)),
    );
    const share = fill === undefined ? 0 : cavities.reduce((mass, n) => mass + massOf(plate, n), 0) / fill.massG;
    return sum + count * share * (fill?.sweptMm2 ?? 0);
  }, 0);
  return {
    way: mix.way,
    material: material.name,
    densityGPerMl: material.densityGPerMl,
    weighed: given.weighed.map(({ part, massG }) => ({ part, massG })),
    leftG: given.leftG,
    sweptMm2,
    pieces: batch.fills.reduce((sum, { count, cavities }) => sum + count * cavities.length, 0),
    casts: given.casts.map((cast) => castOf(cast, mix, batchIndex)),
    ...(given.note !== undefined && { note: given.note }),
  };
}

function castOf({ piece, massG, grade, reason }: CastGiven, mix: SavedMix, batchIndex: number): Cast {
  const inBatch = mix.batches[batchIndex]!.fills;
  const candidates = mix.perCavity.filter(({ plate, number }) =>
    inBatch.some((fill) => fill.plate === plate && fill.cavities.includes(number)),
  );
  const [, plateText, word = piece] = /^(\d+):(.*)$/.exec(piece) ?? [];
  const entry = candidates.find(
    ({ plate, number, name }) =>
      (plateText === undefined || Number(plateText) === plate + 1) && (name === word || String(number) === word),
  );
  if (entry === undefined) {
    throw new Fault({
      code: 'cast-unknown',
      kind: 'usage',
      message: `Batch ${batchIndex + 1} fills no piece '${piece}'.`,
      remedy: suggestName(word, [...new Set(candidates.map(({ name }) => name))]),
    });
  }
  return {
    plate: mix.plates[entry.plate]!.file,
    number: entry.number,
    name: entry.name,
    massG,
    predictedG: entry.massG,
    rangeG: entry.massRangeG,
    grade,
    ...(reason !== undefined && { reason }),
  };
}
