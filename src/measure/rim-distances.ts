import type { TaskOptions } from '../base/source.js';
import { inPieces, memoryFor, type PieceWork, rangeOf } from './pieces.js';
import { RimIndex, type RimParts } from './rim-index.js';

interface DistanceTask {
  readonly rim: RimParts;
  /** x, y, z per point. */
  readonly positions: Float64Array;
  readonly distanceMm: Float64Array;
}

const chunkPoints = 4096;

/** Distance in plan from the rim, per point. */
export async function rimDistances(rim: RimIndex, positions: Float64Array, task: TaskOptions): Promise<Float64Array> {
  const count = positions.length / 3;
  const distanceMm = new Float64Array(memoryFor(task)(8 * count));
  const input = { rim: rim.parts, positions, distanceMm };
  await inPieces(rimDistancePieces, input, Math.ceil(count / chunkPoints), task);
  return distanceMm;
}

export const rimDistancePieces: PieceWork<DistanceTask, { input: DistanceTask; rim: RimIndex }> = {
  name: 'distances to the rim',
  open: (input) => ({ input, rim: new RimIndex(input.rim) }),
  take({ input: { positions, distanceMm }, rim }, piece) {
    const [from, to] = rangeOf(piece, chunkPoints, distanceMm.length);
    rim.forget();
    for (let v = from; v < to; v++) distanceMm[v] = rim.distance(positions[3 * v]!, positions[3 * v + 1]!);
  },
};
