/** Writes the table of docs/scanning.md: measured error against noise and mesh size. `npx tsx tests/docs/scanning.ts` */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type PlatePlan, plateMould } from '../../fixtures/make/plate.js';
import { noisy } from '../../fixtures/make/transform.js';
import { pairs, surveyFile } from '../outside/surveyed.js';

const page = join(import.meta.dirname, '../../docs/scanning.md');
const seeds = [1, 2, 3];

/** A feather of 3 degrees, a plain deep piece, a shallow dish and a piece of 10 mm³. */
function plan(meshMm: number): PlatePlan {
  const feather = { kind: 'feather', radius: 13.5, angleDeg: 3, featherMm: 6, floorRadius: 6, depth: 2.5 } as const;
  return {
    ...{ lengthMm: 102, widthMm: 34, blockMm: 10, meshMm, landMeshMm: meshMm },
    cavities: [
      { name: 'feather', shape: feather, x: 17, y: 17 },
      { name: 'deep', shape: { kind: 'frustum', radius: 12, floorRadius: 9, depth: 4 }, x: 47, y: 17 },
      { name: 'dish', shape: { kind: 'ellipsoid', a: 14, b: 9, c: 6, depth: 2.5 }, x: 73, y: 17, turnDeg: 30 },
      { name: 'small', shape: { kind: 'cap', radius: 6.78, depth: 0.7 }, x: 93, y: 17 },
    ],
  };
}

const rows: string[] = [];
for (const meshMm of [0.25, 0.4, 0.8]) {
  const made = plateMould(plan(meshMm));
  for (const sigmaMm of [0, 0.02, 0.05, 0.1]) {
    let [large, small, opening] = [0, 0, 0];
    for (const seed of sigmaMm === 0 ? [1] : seeds) {
      const mesh = sigmaMm === 0 ? made.mesh : noisy(made.mesh, { sigmaMm, seed, along: [0, 0, 1] });
      for (const { truth, ours } of pairs(await surveyFile(mesh, 'stl'), made)) {
        const off = Math.abs(ours.volumeMm3! - truth.volumeMm3);
        if (truth.name === 'small') small = Math.max(small, off);
        else large = Math.max(large, off / truth.volumeMm3);
        if (truth.name === 'feather')
          opening = Math.max(opening, Math.abs(ours.openingAreaMm2! / truth.openingAreaMm2 - 1));
      }
    }
    const percent = (value: number) => `${(100 * value).toFixed(2)} %`;
    rows.push(
      `| ${meshMm.toFixed(2)} | ${sigmaMm.toFixed(2)} | ${percent(large)} | ${small.toFixed(2)} mm³ | ${percent(opening)} |`,
    );
  }
}
const head =
  '| spacing, mm | noise, mm | volume, worst of three pieces | volume, piece of 10 mm³ | opening, feather of 3 degrees |';
const table = [head, '|---|---|---|---|---|', ...rows].join('\n');
const text = readFileSync(page, 'utf8');
writeFileSync(page, text.replace(/(<!-- table -->\n)[\s\S]*(\n<!-- end -->)/, `$1${table}$2`));
