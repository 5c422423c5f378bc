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
 * @throws Fault `cast-unknown` where a piece is not in the batch, `cast-too-many` where it is cast more often
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
  const used = new Map<string, number>();
  return {
    way: mix.way,
    material: material.name,
    densityGPerMl: material.densityGPerMl,
    weighed: given.weighed.map(({ part, massG }) => ({ part, massG })),
    leftG: given.leftG,
    sweptMm2,
    pieces: batch.fills.reduce((sum, { count, cavities }) => sum + count * cavities.length, 0),
    casts: given.casts.map((cast) => castOf(cast, mix, batchIndex, used)),
    ...(given.note !== undefined && { note: given.note }),
  };
}

/**
 * A cast piece beside its prediction. Where several cavities hold a piece, each gets as many as the batch fills of it.
 * @param used casts so far, by plate and cavity
 */
function castOf(
  { piece, massG, grade, reason }: CastGiven,
  mix: SavedMix,
  batchIndex: number,
  used: Map<string, number>,
): Cast {
  const inBatch = mix.batches[batchIndex]!.fills;
  const candidates = mix.perCavity.filter(({ plate, number }) =>
    inBatch.some((fill) => fill.plate === plate && fill.cavities.includes(number)),
  );
  const [, plateText, word = piece] = /^(\d+):(.*)$/.exec(piece) ?? [];
  const meant = candidates.filter(
    ({ plate, number, name }) =>
      (plateText === undefined || Number(plateText) === plate + 1) && (name === word || String(number) === word),
  );
  const filled = (plate: number, number: number): number =>
    inBatch.reduce((sum, fill) => sum + (fill.plate === plate && fill.cavities.includes(number) ? fill.count : 0), 0);
  const entry = meant.find(({ plate, number }) => (used.get(`${plate}:${number}`) ?? 0) < filled(plate, number));
  if (meant.length > 0 && entry === undefined) {
    const times = meant.reduce((sum, { plate, number }) => sum + filled(plate, number), 0);
    const message = `Batch ${batchIndex + 1} fills '${word}' ${times} times, and more are listed.`;
    throw new Fault({ code: 'cast-too-many', kind: 'usage', message, remedy: 'Log the others with their own batch.' });
  }
  if (entry === undefined) {
    throw new Fault({
      code: 'cast-unknown',
      kind: 'usage',
      message: `Batch ${batchIndex + 1} fills no piece '${piece}'.`,
      remedy: suggestName(word, [...new Set(candidates.map(({ name }) => name))]),
    });
  }
  const key = `${entry.plate}:${entry.number}`;
  used.set(key, (used.get(key) ?? 0) + 1);
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
