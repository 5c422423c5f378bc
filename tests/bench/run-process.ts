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
const lookMs = 8;

/**
 * Runs a program to its end. Processor time and peak memory are read from /proc (Linux) while it runs, so that the last
 * few milliseconds may be missing.
 */
export function runProcess(program: string, args: readonly string[], env: NodeJS.ProcessEnv = {}): Promise<Cost> {
  return new Promise((resolve, reject) => {
    const start = performance.now();
    const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'inherit'], env: { ...process.env, ...env } });
    let out = '';
    let cpuMs = 0;
    let peakMB = 0;
    const look = setInterval(() => {
      try {
        const stat = readFileSync(`/proc/${child.pid}/stat`, 'utf8');
        const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
        cpuMs = (Number(fields[11]) + Number(fields[12])) * tickMs;
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
      else resolve({ wallMs: performance.now() - start, cpuMs, peakMB, out });
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
