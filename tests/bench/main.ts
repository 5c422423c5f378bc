/**
 * npm run bench [-- options]: how long the work takes, as ratios to peers measured in the same run, in turn. Medians of
 * five. Build first (npm ci does): the program is run as a person runs it.
 *   --sizes 0.1,1      millions of triangles (10 and 20 need minutes and gigabytes of disk)
 *   --peers cgal,vtk,admesh,three   peers that are not installed are left out, and it is said
 *   --parts reading,loader,survey,growth,thickness,start
 *   --repeats 5        --keep: appends the rows to docs/bench/results.csv
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { writeBenchPlate, writeShuffled } from './bench-plate.js';
import { benchAgainstLoader } from './loader.js';
import { installedPeers, peerNames } from './peers.js';
import { benchReading } from './reading.js';
import { keepRows, printRow, type Row } from './rows.js';
import type { Cost } from './run-process.js';
import { benchMany, benchStart, benchSurveys, growthRows, millions, plateful } from './surveys.js';
import { benchThickness } from './thickness.js';

const { values } = parseArgs({
  options: {
    sizes: { type: 'string', default: '0.1,1' },
    peers: { type: 'string', default: peerNames.join(',') },
    parts: { type: 'string', default: 'reading,loader,survey,growth,thickness,start' },
    repeats: { type: 'string', default: '5' },
    keep: { type: 'boolean', default: false },
  },
});
const sizes = values.sizes.split(',').map((size) => Math.round(Number(size) * 1e6));
const repeats = Number(values.repeats);
const parts = new Set(values.parts.split(','));
if (sizes.some((size) => !(size >= 1e4)) || !(repeats >= 1)) throw new Error('--sizes 0.1,1 --repeats 5');
/** From here on the peers take many minutes, and ours is run once. */
const huge = 5e6;

const peers = installedPeers(values.peers.split(','));
const folder = mkdtempSync(join(tmpdir(), 'plateful-bench-'));
const rows: Row[] = [];
const add = (more: readonly Row[]) => {
  for (const row of more) printRow(row);
  rows.push(...more);
};

try {
  if (parts.has('reading')) {
    add(
      (await benchReading()).map(({ what, ours, peer, theirs, limit }) => {
        return { what: `read ${what}`, ours, peer, theirs, unit: 'ms wall', limit: limit === null ? null : `${limit}` };
      }),
    );
  }
  const files = sizes.map((size) => {
    const file = join(folder, `plate-${size}.stl`);
    console.log(`A plate of ${writeBenchPlate(file, size)} triangles is written.`);
    return { size, file };
  });
  const most = files.filter(({ size }) => size < huge).at(-1) ?? files[0]!;
  if (parts.has('loader')) add(await benchAgainstLoader(most.file, most.size, repeats));
  const wholes: { triangles: number; cost: Cost }[] = [];
  for (const { size, file } of files) {
    if (!parts.has('survey') && !parts.has('growth')) continue;
    if (size >= huge || !parts.has('survey')) {
      wholes.push({ triangles: size, cost: await plateful('survey', file, '--json') });
      continue;
    }
    const { rows: own, whole } = await benchSurveys(file, size, peers, repeats);
    add(own);
    wholes.push({ triangles: size, cost: whole });
  }
  if (parts.has('growth')) {
    for (let k = 1; k < wholes.length; k++) add(growthRows('survey', wholes[k - 1]!, wholes[k]!, '1.5'));
    await shuffledGrowth();
  }
  if (parts.has('thickness')) add(await benchThickness(most.file, folder, repeats, peers.has('three')));
  if (parts.has('start')) {
    add([await benchStart(repeats)]);
    for (const { size, file } of new Set([files[0]!, most])) add([await benchMany(folder, file, size, repeats)]);
  }
} finally {
  rmSync(folder, { recursive: true });
}
if (values.keep) keepRows(rows);

/** The same triangles in random order: the smallest plate and the largest. */
async function shuffledGrowth(): Promise<void> {
  if (sizes.length < 2) return;
  const costs: { triangles: number; cost: Cost }[] = [];
  for (const size of sizes.slice(-2)) {
    const file = join(folder, 'shuffled.stl');
    console.log(`${millions(size)} triangles are shuffled.`);
    writeShuffled(join(folder, `plate-${size}.stl`), file);
    costs.push({ triangles: size, cost: await plateful('survey', file, '--json') });
  }
  add(growthRows('survey, shuffled', costs[0]!, costs[1]!, '2'));
}
