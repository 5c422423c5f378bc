import type { MeasuredBody } from './measured-body.js';
import { RimIndex, type RimParts } from './rim-index.js';
import type { RimSamples } from './rim-samples.js';
import { WallIndex } from './wall-index.js';
import type { WallParts } from './wall-parts.js';

/** What questions at the rim ask of a body. */
export type RimBody = Pick<MeasuredBody, 'rim' | 'wall' | 'largestBall'>;

/** Questions at the samples of a rim, for any thread to take. */
export interface RimTask {
  readonly rim: RimParts;
  readonly wall: WallParts;
  readonly largestBall: MeasuredBody['largestBall'];
  readonly samples: RimSamples;
}

/** Samples that are done in one go. */
export const chunkSamples = 64;

export function rimTask({ rim, wall, largestBall }: RimBody, samples: RimSamples): RimTask {
  return { rim: rim.parts, wall: wall.parts, largestBall, samples };
}

export function openRim({ rim, wall, largestBall }: RimTask): RimBody {
  return { rim: new RimIndex(rim), wall: new WallIndex(wall), largestBall };
}
