/** The same survey whatever the number of threads: the plain path, and threads of Node with and without shared memory. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fileSource } from '../../cli/file-source.js';
import { startMeasureThread } from '../../cli/measure-threads.js';
import { ThreadPool, type Threads } from '../../src/base/threads.js';
import { measureAllEdges } from '../../src/measure/measure-all-edges.js';
import { type SurveyResult, survey } from '../../src/survey.js';
import { writeBenchPlate } from '../bench/bench-plate.js';

const root = resolve(import.meta.dirname, '../..');
const built = join(root, '.cache/thread-test');
const pools: ThreadPool[] = [];
let folder = '';
let plate = '';
let alone: SurveyResult;

function pool(size: number, sharesMemory = true): Threads {
  const made = new ThreadPool(size, sharesMemory, () =>
    startMeasureThread(pathToFileURL(join(built, 'measure-thread.js'))),
  );
  pools.push(made);
  return made;
}

beforeAll(async () => {
  await build({
    entryPoints: [join(root, 'cli/measure-thread.ts')],
    outdir: built,
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    target: 'node20',
    logLevel: 'error',
  });
  folder = await mkdtemp(join(tmpdir(), 'plateful-threads-'));
  plate = join(folder, 'plate.stl');
  writeBenchPlate(plate, 200_000, 0.01);
  alone = await survey(await fileSource(plate));
});
afterAll(async () => {
  for (const made of pools) made.end();
  await rm(folder, { recursive: true });
});

test.each([3])('%i threads give the same bytes as none', async (size) => {
  const threads = pool(size);
  const shared = await survey(await fileSource(plate), { threads });
  expect(JSON.stringify(shared.document)).toBe(JSON.stringify(alone.document));
  expect(shared.cavities.length).toBeGreaterThan(3);
  shared.cavities.forEach(({ thickness, body }, i) => {
    expect(thickness?.thicknessMm).toEqual(alone.cavities[i]!.thickness?.thicknessMm);
    expect(thickness?.stoppedBy).toEqual(alone.cavities[i]!.thickness?.stoppedBy);
    expect(body).toEqual(alone.cavities[i]!.body);
  });
});

test.each([true, false])('one large body: in pieces (shared memory: %s)', async (sharesMemory) => {
  const bodies = alone.cavities
    .map(({ body }) => body)
    .sort((a, b) => b!.wallTriangles - a!.wallTriangles)
    .slice(0, 1);
  const pause = async () => {};
  const [plain] = await measureAllEdges(bodies, {}, {}, pause);
  const [inPieces] = await measureAllEdges(bodies, {}, { threads: pool(2, sharesMemory) }, pause);
  // Many pieces of each kind.
  expect(plain!.map.partOf.length).toBeGreaterThan(30_000);
  expect(inPieces).toEqual(plain);
});
