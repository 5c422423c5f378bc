/** Lets `most` tasks run at a time; the others wait in line. */
export function limiter(most: number): <T>(task: () => Promise<T>) => Promise<T> {
  let free = most;
  const waiting: (() => void)[] = [];
  return async (task) => {
    if (free > 0) free--;
    else await new Promise<void>((start) => waiting.push(start));
    try {
      return await task();
    } finally {
      const start = waiting.shift();
      if (start === undefined) free++;
      else start();
    }
  };
}

/**
 * Does some tasks, `most` at a time and the largest first, so that none is left over that all others wait for. After one
 * that fails no other is begun.
 * @param work told the task's number and the share of the tasks that are done
 * @returns the answers in the order of the sizes given
 */
export async function largestFirst<T>(
  sizes: readonly number[],
  most: number,
  work: (task: number, done: number) => Promise<T>,
): Promise<T[]> {
  const limited = limiter(most);
  const answers = new Array<T>(sizes.length);
  let done = 0;
  let failed = false;
  const order = sizes.map((_, i) => i).sort((a, b) => sizes[b]! - sizes[a]! || a - b);
  await Promise.all(
    order.map((i) =>
      limited(async () => {
        if (failed) return;
        try {
          answers[i] = await work(i, done++ / sizes.length);
        } catch (error) {
          failed = true;
          throw error;
        }
      }),
    ),
  );
  return answers;
}
