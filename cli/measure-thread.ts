import { parentPort } from 'node:worker_threads';
import { buffersOf, type JobMessage } from '../src/base/threads.js';
import { doJob } from '../src/measure/jobs.js';

/** A thread that does one job of a survey after the other. */
parentPort?.on('message', async (message: JobMessage) => {
  const answer = await doJob(message);
  parentPort?.postMessage(answer, [...buffersOf(answer)]);
});
