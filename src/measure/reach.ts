import type { TaskOptions } from '../base/source.js';
import { breathe } from './breathe.js';
import type { MeasuredBody } from './measured-body.js';
import { quantile } from './quantile.js';
import { inwardPoint, loopRanges, type RimSamples } from './rim-samples.js';
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
  const single = new Float64Array(count);
  const isThinThrough = new Uint8Array(count);
  const pause = breathe(task, 'thin zones');
  for (let i = 0; i < count; i++) {
    if (i % 128 === 0) await pause(i / count);
    let before = 0;
    for (let s = stepMm; ; s += stepMm) {
      const at = inwardPoint(body, samples, i, s);
      if (at === null) {
        single[i] = s - stepMm;
        isThinThrough[i] = 1;
        break;
      }
      const thickness = ballUnderSurface(body, at[0], at[1]);
      if (thickness >= thicknessMm) {
        single[i] = s - stepMm * ((thickness - thicknessMm) / (thickness - before));
        break;
      }
      before = thickness;
    }
  }
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
