/**
 * Hands the numbers from 0 on to a task, some thousands at a time. A short function that is called often is compiled
 * once and soon; a long loop is compiled while it runs, and again when it ends. A survey runs most of its loops once.
 * The first batches are small: a function should have come to its end a few times before it is compiled, since code
 * for an end that was never seen is thrown away there.
 * @param step of how many numbers only the first is looked at: batches begin at multiples of it
 */
export function inBatches(count: number, task: (from: number, to: number) => void, step = 1): void {
  let batch = firstBatch;
  for (let from = 0; from < count; ) {
    const to = Math.min(count, from + batch * step);
    task(from, to);
    from = to;
    batch = Math.min(2 * batch, fullBatch);
  }
}

const firstBatch = 16;
const fullBatch = 3000;
