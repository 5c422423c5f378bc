import type { TaskOptions } from '../base/source.js';
import type { MeasuredBody } from './measured-body.js';
import { inPieces, memoryFor, type PieceWork, rangeOf } from './pieces.js';
import { quantile } from './quantile.js';
import { inwardPoint, loopRanges, type RimSamples } from './rim-samples.js';
import { chunkSamples, openRim, type RimBody, type RimTask, rimTask } from './rim-task.js';
import { ballUnderSurface } from './taper.js';

const stepMm = 0.25;

/** A sample's reach is the median over this far along the rim to both sides: a sector of the rim. */
const sectorMm = 1;

/** How far inward from the rim the edge stays thinner than a thickness. */
export interface Reach {
  /** Per rim sample, median over its sector, mm. */
  readonly reachMm: Float64Array;
  /** Per rim sample: the edge is thin from rim to the middle of the piece, where another rim is nearer. */
  readonly isThinThrough: Uint8Array;
}

export async function rimReach(
  body: MeasuredBody,
  samples: RimSamples,
  thicknessMm: number,
  task: TaskOptions = {},
): Promise<Reach> {
  const count = samples.loop.length;
  const memory = memoryFor(task);
  const single = new Float64Array(memory(8 * count));
  const isThinThrough = new Uint8Array(memory(count));
  const input = { ...rimTask(body, samples), thicknessMm, single, isThinThrough };
  await inPieces(reachPieces, input, Math.ceil(count / chunkSamples), task);
  const reachMm = new Float64Array(count);
  for (const [first, size] of loopRanges(samples)) {
    const half = Math.round(sectorMm / samples.stepMm[samples.loop[first]!]!);
    const sector = new Float64Array(Math.min(2 * half + 1, size));
    for (let i = 0; i < size; i++) {
      for (let k = 0; k < sector.length; k++) sector[k] = single[first + ((i + k - half + size) % size)]!;
      reachMm[first + i] = quantile(sector.sort(), 0.5);
    }
  }
  return { reachMm, isThinThrough };
}

interface ReachTask extends RimTask {
  readonly thicknessMm: number;
  /** Per sample, to be filled in: how far inward the edge stays thinner, and whether it does to the middle. */
  readonly single: Float64Array;
  readonly isThinThrough: Uint8Array;
}

export const reachPieces: PieceWork<ReachTask, { input: ReachTask; body: RimBody }> = {
  name: 'thin zones',
  open: (input) => ({ input, body: openRim(input) }),
  take({ input, body }, piece) {
    const [from, to] = rangeOf(piece, chunkSamples, input.single.length);
    body.rim.forget();
    for (let i = from; i < to; i++) reachOf(body, input, i);
  },
};

function reachOf(body: RimBody, { samples, thicknessMm, single, isThinThrough }: ReachTask, i: number): void {
  let before = 0;
  for (let s = stepMm; ; s += stepMm) {
    const at = inwardPoint(body, samples, i, s);
    if (at === null) {
      single[i] = s - stepMm;
      isThinThrough[i] = 1;
      return;
    }
    const thickness = ballUnderSurface(body, at[0], at[1]);
    if (thickness >= thicknessMm) {
      single[i] = s - stepMm * ((thickness - thicknessMm) / (thickness - before));
      return;
    }
    before = thickness;
  }
}
