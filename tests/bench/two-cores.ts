import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import type { Row } from './rows.js';
import { median } from './run-process.js';

/** Plain JavaScript for a thread: a loop that only computes, and passes over more memory than the caches hold. */
const script = `
const { parentPort } = require('node:worker_threads');
const numbers = new Float64Array(2 ** 24).fill(1);
function computing() {
  let x = 1.1, y = 0.3, sum = 0;
  for (let i = 0; i < 2e7; i++) {
    const d = x * x + y * y + 1;
    x = x * 1.0001 + y / d;
    y = Math.sqrt(d) - 1;
    if (x > 2) x -= 1;
    sum += x - y;
  }
  return sum;
}
function memory() {
  let sum = 0;
  for (let pass = 0; pass < 8; pass++) for (let i = 0; i < numbers.length; i++) sum += numbers[i];
  return sum;
}
parentPort.on('message', (job) => parentPort.postMessage(job === 'computing' ? computing() : memory()));
`;

/** What two cores of this machine can give at all: two equal loops one after the other against side by side. */
export async function benchTwoCores(repeats: number): Promise<Row[]> {
  const threads = [1, 2].map(() => new Worker(script, { eval: true }));
  const rows: Row[] = [];
  for (const job of ['computing', 'memory']) {
    const run = async (thread: Worker) => {
      thread.postMessage(job);
      await once(thread, 'message');
    };
    const [one, two]: [number[], number[]] = [[], []];
    for (let i = -1; i < repeats; i++) {
      const start = performance.now();
      for (const thread of threads) await run(thread);
      const middle = performance.now();
      await Promise.all(threads.map(run));
      if (i >= 0) {
        one.push(middle - start);
        two.push(performance.now() - middle);
      }
    }
    const what = `two loops of ${job === 'memory' ? 'passes over memory' : 'arithmetic'}, one core`;
    const peer = 'the same on two cores';
    rows.push({ what, ours: median(one), peer, theirs: median(two), unit: 'ms wall', limit: null });
  }
  for (const thread of threads) await thread.terminate();
  return rows;
}
