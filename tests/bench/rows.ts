import { execSync } from 'node:child_process';
import { appendFileSync, existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join, resolve } from 'node:path';
import type { Cost } from './run-process.js';

export interface Row {
  readonly what: string;
  readonly ours: number;
  readonly peer: string;
  readonly theirs: number;
  readonly unit: 'ms wall' | 'ms cpu' | 'MB' | 'µs';
  /** Ours over theirs should stay under it (over it, where it begins with `>`); null: only shown. */
  readonly limit: string | null;
}

/** The clock and the processor time of two costs: the limit holds for the clock on a quiet machine. */
export function twoRows(
  what: string,
  ours: Pick<Cost, 'wallMs' | 'cpuMs'>,
  peer: string,
  theirs: Pick<Cost, 'wallMs' | 'cpuMs'>,
  limit: string | null,
): Row[] {
  return [
    { what, ours: ours.wallMs, peer, theirs: theirs.wallMs, unit: 'ms wall', limit },
    { what, ours: ours.cpuMs, peer, theirs: theirs.cpuMs, unit: 'ms cpu', limit: null },
  ];
}

const figure = (value: number) => (value < 10 ? value.toFixed(2) : value.toFixed(0));

export function printRow({ what, ours, peer, theirs, unit, limit }: Row): void {
  const ratio = ours / theirs;
  const isOver =
    limit === null ? false : limit.startsWith('>') ? ratio < Number(limit.slice(1)) : ratio > Number(limit);
  const bound = limit === null ? '' : `  limit ${limit}${isOver ? '  OVER' : ''}`;
  console.log(
    `${what.padEnd(44)} ${figure(ours).padStart(7)} ${unit.padEnd(7)} ${peer.padEnd(30)} ${figure(theirs).padStart(7)}  ratio ${ratio.toFixed(3)}${bound}`,
  );
}

/** Appends the rows to docs/bench/results.csv with machine and commit. */
export function keepRows(rows: readonly Row[]): void {
  const folder = resolve(import.meta.dirname, '../../docs/bench');
  const file = join(folder, 'results.csv');
  mkdirSync(folder, { recursive: true });
  if (!existsSync(file)) writeFileSync(file, 'date,commit,machine,what,ours,unit,peer,theirs,ratio,limit\n');
  const commit = execSync('git rev-parse --short HEAD').toString().trim();
  const machine = `${cpus()[0]?.model.replaceAll(',', ' ') ?? 'unknown'} x ${cpus().length}; node ${process.version}`;
  const date = new Date().toISOString().slice(0, 10);
  for (const { what, ours, unit, peer, theirs, limit } of rows) {
    const cells = [date, commit, machine, what, figure(ours), unit, peer, figure(theirs), (ours / theirs).toFixed(3)];
    appendFileSync(file, `${[...cells, limit ?? ''].map((cell) => cell.replaceAll(',', ';')).join(',')}\n`);
  }
}
