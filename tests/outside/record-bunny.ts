/** Gives the lying bunny to the program named on the command line and keeps its answer in bunny-volumes.json. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { lyingBunny } from '../../fixtures/make/bunny-mould.js';

const program = process.argv[2];
if (program === undefined) throw new Error('name the compiled volume-under-plane');
const { positions, triangles } = lyingBunny();
const lines = [`OFF`, `${positions.length / 3} ${triangles.length / 3} 0`];
for (let i = 0; i < positions.length; i += 3) lines.push(positions.subarray(i, i + 3).join(' '));
for (let i = 0; i < triangles.length; i += 3) lines.push(`3 ${triangles.subarray(i, i + 3).join(' ')}`);
const folder = mkdtempSync(join(tmpdir(), 'bunny-'));
writeFileSync(join(folder, 'bunny.off'), `${lines.join('\n')}\n`);
writeFileSync(join(import.meta.dirname, 'bunny-volumes.json'), execFileSync(program, [join(folder, 'bunny.off')]));
rmSync(folder, { recursive: true });
