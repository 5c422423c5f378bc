/** Gives the scanned rabbits to the program named on the command line and keeps its answers in *-volumes.json. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { lyingBunny } from '../../fixtures/make/bunny-mould.js';
import { openBunny } from './open-bunny.js';

const program = process.argv[2];
if (program === undefined) throw new Error('name the compiled volume-under-plane');
const folder = mkdtempSync(join(tmpdir(), 'bunny-'));
for (const [name, { positions, triangles }] of [
  ['bunny', lyingBunny()],
  ['open-bunny', await openBunny()],
] as const) {
  const lines = [`OFF`, `${positions.length / 3} ${triangles.length / 3} 0`];
  for (let i = 0; i < positions.length; i += 3) lines.push(positions.subarray(i, i + 3).join(' '));
  for (let i = 0; i < triangles.length; i += 3) lines.push(`3 ${triangles.subarray(i, i + 3).join(' ')}`);
  writeFileSync(join(folder, `${name}.off`), `${lines.join('\n')}\n`);
  const answer = execFileSync(program, [join(folder, `${name}.off`)]);
  writeFileSync(join(import.meta.dirname, `${name}-volumes.json`), answer);
}
rmSync(folder, { recursive: true });
