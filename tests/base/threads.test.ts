import { describe, expect, test } from 'vitest';
import { largestFirst } from '../../src/base/limiter.js';
import { type JobAnswer, type JobMessage, type Thread, ThreadPool } from '../../src/base/threads.js';

/** Threads that answer when told to, and die of the job `die`. */
function fakeThreads() {
  const started: { got: JobMessage[]; ended: boolean; answer(): void }[] = [];
  const start = (): Thread => {
    let take: (answer: JobAnswer) => void = () => {};
    let die: (error: unknown) => void = () => {};
    const own = {
      got: [] as JobMessage[],
      ended: false,
      answer: () => {
        const { job, input } = own.got.at(-1)!;
        if (job === 'die') die(new Error('died'));
        else if (job === 'fail') take({ fault: { code: 'bad', message: 'Bad.', remedy: 'Mend it.' } });
        else take({ answer: `${job} ${input}` });
      },
    };
    started.push(own);
    return {
      post: (message) => void own.got.push(message),
      onAnswer: (taker) => {
        take = taker;
      },
      onDeath: (taker) => {
        die = taker;
      },
      end: () => {
        own.ended = true;
      },
    };
  };
  return { started, pool: new ThreadPool(2, true, start) };
}

describe('pool of threads', () => {
  test('starts a thread only for a job, no more than its size, and the rest wait in line', async () => {
    const { started, pool } = fakeThreads();
    expect(started.length).toBe(0);
    const answers = [1, 2, 3].map((input) => pool.run('add', input));
    expect(started.map(({ got }) => got.length)).toEqual([1, 1]);
    started[1]!.answer();
    expect(await answers[1]).toBe('add 2');
    expect(started.map(({ got }) => got.length)).toEqual([1, 2]);
    started[0]!.answer();
    started[1]!.answer();
    expect(await Promise.all(answers)).toEqual(['add 1', 'add 2', 'add 3']);
    expect(started.length).toBe(2);
  });

  test('a thread that dies fails its own job alone, and another one takes its place', async () => {
    const { started, pool } = fakeThreads();
    const [dying, fine, waiting] = [pool.run('die', 0), pool.run('add', 1), pool.run('add', 2)];
    started[0]!.answer();
    await expect(dying).rejects.toThrow('died');
    expect(started[0]!.ended).toBe(true);
    expect(started.length).toBe(3);
    started[1]!.answer();
    started[2]!.answer();
    expect(await Promise.all([fine, waiting])).toEqual(['add 1', 'add 2']);
  });

  test('a fault comes back as a fault', async () => {
    const { started, pool } = fakeThreads();
    const failing = pool.run('fail', 0);
    started[0]!.answer();
    await expect(failing).rejects.toMatchObject({ code: 'bad', remedy: 'Mend it.' });
  });
});

describe('largest first', () => {
  test('begins with the largest, and answers in the order given', async () => {
    const begun: number[] = [];
    const answers = await largestFirst([3, 9, 5], 1, async (task) => begun.push(task));
    expect(begun).toEqual([1, 2, 0]);
    expect(answers).toEqual([3, 1, 2]);
  });

  test('begins no other task after one that failed', async () => {
    const begun: number[] = [];
    const failing = largestFirst([1, 2, 3], 1, async (task) => {
      begun.push(task);
      throw new Error('no');
    });
    await expect(failing).rejects.toThrow('no');
    expect(begun).toEqual([2]);
  });
});
