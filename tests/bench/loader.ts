import { readFileSync } from 'node:fs';
import { cwd } from 'node:process';
import { fileSource } from '../../cli/file-source.js';
import { survey } from '../../src/survey.js';
import { stlLoader } from '../reading/three-loaders.js';
import type { Row } from './rows.js';
import { median } from './run-process.js';
import { millions } from './surveys.js';

/** Our surveys in one thread of this process against three-stdlib's STLLoader reading the same file, in turn. */
export async function benchAgainstLoader(file: string, triangles: number, repeats: number): Promise<Row[]> {
  const tasks = {
    loader: async () => void stlLoader.parse(readFileSync(file).buffer as ArrayBuffer),
    quick: async () => void (await survey(await fileSource(file, cwd()), { quick: true })),
    whole: async () => void (await survey(await fileSource(file, cwd()))),
  };
  const times: Record<keyof typeof tasks, number[]> = { loader: [], quick: [], whole: [] };
  for (let i = 0; i < repeats; i++) {
    for (const name of ['loader', 'quick', 'whole'] as const) {
      const start = performance.now();
      await tasks[name]();
      times[name].push(performance.now() - start);
    }
  }
  const row = (what: string, ours: number[], limit: string): Row => ({
    ...{ what: `${what}, ${millions(triangles)}, in one thread`, ours: median(ours), unit: 'ms wall' },
    ...{ peer: 'STLLoader reads it', theirs: median(times.loader), limit },
  });
  return [row('volumes, openings, rims', times.quick, '12'), row('everything', times.whole, '150')];
}
