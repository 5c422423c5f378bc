import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';

export interface Cost {
  readonly wallMs: number;
  /** Processor time of all threads: what other work on the machine disturbs less than the clock. */
  readonly cpuMs: number;
  readonly peakMB: number;
  readonly out: string;
}

const tickMs = 10;
/** Every look takes the program's lock over its memory: every 8 ms made one with two busy threads 6 % slower. */
const lookMs = 50;

/** Processor time of all programs that this one has started and that have ended (Linux, proc(5): cutime, cstime). */
function childrenMs(): number {
  const stat = readFileSync('/proc/self/stat', 'utf8');
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return (Number(fields[13]) + Number(fields[14])) * tickMs;
}

/**
 * Runs a program to its end, one at a time. Its peak memory is what the system has noted as the most so far, read from
 * /proc (Linux) while it runs: the last 50 ms may be missing.
 */
export function runProcess(program: string, args: readonly string[], env: NodeJS.ProcessEnv = {}): Promise<Cost> {
  return new Promise((resolve, reject) => {
    const start = performance.now();
    const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'inherit'], env: { ...process.env, ...env } });
    let out = '';
    const before = childrenMs();
    let peakMB = 0;
    const look = setInterval(() => {
      try {
        const high = /VmHWM:\s+(\d+) kB/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'));
        if (high !== null) peakMB = Number(high[1]) / 1024;
      } catch {}
    }, lookMs);
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      out += text;
    });
    child.once('error', reject);
    child.once('close', (status) => {
      clearInterval(look);
      if (status !== 0) reject(new Error(`${program} ${args.join(' ')} ended in status ${status}`));
      else resolve({ wallMs: performance.now() - start, cpuMs: childrenMs() - before, peakMB, out });
    });
  });
}

export const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;

/** Runs several tasks in turn, so many times: of each the run of median processor time, with the median of the clock. */
export async function inTurn<T extends Record<string, () => Promise<Cost>>>(
  tasks: T,
  repeats: number,
): Promise<Record<keyof T, Cost>> {
  const costs = Object.keys(tasks).map((name) => [name, [] as Cost[]] as const);
  for (let i = 0; i < repeats; i++) for (const [name, list] of costs) list.push(await tasks[name]!());
  return Object.fromEntries(
    costs.map(([name, list]) => [
      name,
      {
        ...list.toSorted((a, b) => a.cpuMs - b.cpuMs)[list.length >> 1]!,
        wallMs: median(list.map((cost) => cost.wallMs)),
        peakMB: Math.max(...list.map((cost) => cost.peakMB)),
      },
    ]),
  ) as Record<keyof T, Cost>;
}
