/**
 * npm run bench [-- --keep] [-- --triangles N]: how long a survey takes, as a ratio to a reference measured in the same
 * run: three-stdlib's STLLoader reading the same bytes. `--keep` appends the row to docs/bench/survey.csv.
 */
import { execSync } from 'node:child_process';
import { appendFileSync, existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { fileSource } from '../../cli/file-source.js';
import { featherPlate } from '../../fixtures/make/feather-plate.js';
import { plateMould } from '../../fixtures/make/plate.js';
import { noisy } from '../../fixtures/make/transform.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { survey } from '../../src/survey.js';
import { stlLoader } from '../reading/three-loaders.js';

const argument = (name: string) => {
  const at = process.argv.indexOf(`--${name}`);
  return at < 0 ? undefined : process.argv[at + 1];
};
const triangles = Number(argument('triangles') ?? 1_000_000);
const repeats = Number(argument('repeats') ?? 3);

/** Processor time, which other work on the machine disturbs less than the clock; garbage collection and compiling count. */
async function medianMs(task: () => unknown): Promise<number> {
  const times: number[] = [];
  for (let i = 0; i < repeats; i++) {
    const start = process.cpuUsage();
    await task();
    const { user, system } = process.cpuUsage(start);
    times.push((user + system) / 1000);
  }
  return times.sort((a, b) => a - b)[repeats >> 1]!;
}

const folder = mkdtempSync(join(tmpdir(), 'plateful-bench-'));
// A plate of 375,000 triangles has points every 0.25 mm; their number grows with the square of that.
const made = plateMould(featherPlate(0.25 * Math.sqrt(375_000 / triangles)));
const rows: (string | number)[][] = [];
for (const sigmaMm of [0, 0.03]) {
  const mesh = sigmaMm === 0 ? made.mesh : noisy(made.mesh, { sigmaMm, seed: 1, along: [0, 0, 1] });
  const bytes = toBinaryStl(mesh);
  const buffer = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer;
  const path = join(folder, `noise-${sigmaMm}.stl`);
  writeFileSync(path, bytes);
  const reference = await medianMs(() => stlLoader.parse(buffer));
  const quick = await medianMs(() => fileSource(path, folder).then((source) => survey(source, { quick: true })));
  const whole = await medianMs(() => fileSource(path, folder).then((source) => survey(source)));
  const count = mesh.triangles.length / 3;
  console.log(`${count} triangles, noise ${sigmaMm} mm, processor time, median of ${repeats}`);
  console.log(`  STLLoader reads it          ${reference.toFixed(0)} ms`);
  console.log(`  volumes, openings and rims  ${quick.toFixed(0)} ms   ${(quick / reference).toFixed(1)} times`);
  console.log(`  the whole survey            ${whole.toFixed(0)} ms   ${(whole / reference).toFixed(1)} times`);
  rows.push([count, sigmaMm, (quick / reference).toFixed(2), (whole / reference).toFixed(2)]);
}
rmSync(folder, { recursive: true });

if (process.argv.includes('--keep')) {
  const file = resolve(import.meta.dirname, '../../docs/bench/survey.csv');
  const commit = execSync('git rev-parse --short HEAD').toString().trim();
  const machine = `${cpus()[0]?.model.replaceAll(',', ' ') ?? 'unknown'} x ${cpus().length}; node ${process.version}`;
  if (!existsSync(file)) {
    writeFileSync(file, 'date,commit,machine,triangles,noiseMm,quick per STLLoader read,whole per STLLoader read\n');
  }
  const date = new Date().toISOString().slice(0, 10);
  for (const row of rows) appendFileSync(file, `${[date, commit, machine, ...row].join(',')}\n`);
}
