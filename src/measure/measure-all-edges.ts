import { largestFirst } from '../base/limiter.js';
import type { TaskOptions } from '../base/source.js';
import type { FillBody } from '../cavity/fill-body.js';
import type { EdgeSettings } from './edge-settings.js';
import { ask } from './jobs.js';
import { type EdgeMeasures, measureEdges } from './measure-edges.js';

/**
 * Edges and thickness of all bodies. Threads take a body each; one that is larger than a thread's fair share of them all
 * is measured here, and only its thickness handed out in pieces.
 * @param bodies null where there is none to measure, and so is its answer
 * @param pause told the share that is done before each body
 */
export async function measureAllEdges(
  bodies: readonly (FillBody | null)[],
  settings: EdgeSettings,
  task: TaskOptions,
  pause: (done: number) => Promise<void>,
): Promise<(EdgeMeasures | null)[]> {
  const { signal, threads } = task;
  const sizes = bodies.map((body) => body?.wallTriangles ?? 0);
  const fairShare = sizes.reduce((sum, size) => sum + size, 0) / (threads?.size ?? 1);
  return largestFirst(sizes, threads === undefined ? 1 : threads.size + 1, async (i, done) => {
    const body = bodies[i]!;
    if (body === null) return null;
    await pause(done);
    if (threads === undefined) return measureEdges(body, settings, { signal });
    if (threads.sharesMemory && sizes[i]! > fairShare) return measureEdges(body, settings, { signal, threads });
    return ask(threads, 'edges', { body, settings });
  });
}
