import { Fault } from '../base/fault.js';
import type { JobAnswer, JobMessage, Threads } from '../base/threads.js';
import { buildFillBody } from '../cavity/build-fill-body.js';
import type { FillBody } from '../cavity/fill-body.js';
import type { Patch } from '../cavity/patch.js';
import type { EdgeSettings } from './edge-settings.js';
import { measureEdges } from './measure-edges.js';
import { conePieces } from './normal-cones.js';
import { type PieceWork, type SharedWork, takePieces } from './pieces.js';
import { reachPieces } from './reach.js';
import { longPieces } from './refine-wall.js';
import { rimDistancePieces } from './rim-distances.js';
import { taperPieces } from './taper.js';
import { thicknessPieces } from './thickness-chunks.js';
import { halvingPieces, subtreePieces } from './triangle-tree.js';
import { averagingPieces, facePieces } from './wall-normals.js';

/** The work that falls into pieces. */
const works = [
  facePieces,
  averagingPieces,
  halvingPieces,
  subtreePieces,
  conePieces,
  rimDistancePieces,
  longPieces,
  thicknessPieces,
  taperPieces,
  reachPieces,
] as PieceWork<unknown, unknown>[];

/** What a thread can be asked for. Jobs are pure: the same input gives the same answer in any thread. */
const jobs = {
  'fill body': ({ patch, noiseMm }: { patch: Patch; noiseMm: number }) => buildFillBody(patch, noiseMm),
  edges: ({ body, settings }: { body: FillBody; settings: EdgeSettings }) => measureEdges(body, settings),
  pieces: async (shared: SharedWork) => takePieces(works.find(({ name }) => name === shared.name)!, shared),
};
type Jobs = typeof jobs;

/** Hands a job to a thread. */
export function ask<K extends keyof Jobs>(
  threads: Threads,
  job: K,
  input: Parameters<Jobs[K]>[0],
): ReturnType<Jobs[K]> {
  return threads.run(job, input) as ReturnType<Jobs[K]>;
}

/** The thread's side. */
export async function doJob({ job, input }: JobMessage): Promise<JobAnswer> {
  try {
    const work = jobs[job as keyof Jobs] as (given: unknown) => Promise<unknown>;
    return { answer: await work(input) };
  } catch (error) {
    if (error instanceof Fault) return { fault: error.toDetails() };
    const { message, stack = '' } = error instanceof Error ? error : new Error(String(error));
    return { error: { message, stack } };
  }
}
