/**
 * Hands the numbers from 0 on to a task, some thousands at a time. A short function that is called often is compiled
 * once and soon; a long loop is compiled while it runs, and again when it ends. A survey runs most of its loops once.
 * @param step of how many numbers only the first is looked at: batches begin at multiples of it
 */
export function inBatches(count: number, task: (from: number, to: number) => void, step = 1): void {
  const size = batch * step;
  for (let from = 0; from < count; from += size) task(from, Math.min(count, from + size));
}

const batch = 3000;
