import { availableParallelism } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { BufferAttribute, BufferGeometry, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import { fileSource } from '../../cli/file-source.js';
import { startMeasureThread } from '../../cli/measure-threads.js';
import { ThreadPool } from '../../src/base/threads.js';
import type { FillBody } from '../../src/cavity/fill-body.js';
import { measureAllEdges } from '../../src/measure/measure-all-edges.js';
import { type MeasuredBody, measureBody } from '../../src/measure/measured-body.js';
import { thicknessAtWall, thicknessMap } from '../../src/measure/thickness.js';
import { survey } from '../../src/survey.js';
import { writeBenchPlate } from './bench-plate.js';
import type { Row } from './rows.js';
import { median } from './run-process.js';
import { benchTwoCores } from './two-cores.js';

const script = pathToFileURL(resolve(import.meta.dirname, '../../dist/cli/measure-thread.js'));

/** The map of a body of this many triangles takes about a second; one that takes less cannot pay for threads. */
const largeScan = 4_000_000;
const onePiece = [{ x: 100, y: 70, radius: 66, depth: 9 }];

/** Each thread compiles its own code: only after some rounds is there nothing left to compile. */
const warmUps = 3;

/** The thickness on one core and on two, and a sample of it against a nearest-point query of a peer. */
export async function benchThickness(file: string, folder: string, repeats: number, withPeer: boolean): Promise<Row[]> {
  const bodies = await bodiesOf(file);
  const rows = [...(await benchTwoCores(repeats)), ...(await benchThreads(bodies, repeats))];
  const scan = join(folder, 'large-scan.stl');
  for (const bowls of [undefined, onePiece]) {
    console.log(`A plate of ${writeBenchPlate(scan, largeScan, 0, bowls)} triangles is written.`);
    rows.push(...(await benchThreads(await bodiesOf(scan), repeats)));
  }
  const largest = bodies.reduce((a, b) => (b.wallTriangles > a.wallTriangles ? b : a));
  if (withPeer) rows.push(await benchQueries(await measureBody(largest), repeats));
  return rows;
}

async function bodiesOf(file: string): Promise<FillBody[]> {
  const { cavities } = await survey(await fileSource(file), { edges: null });
  return cavities.flatMap(({ body }) => (body === null ? [] : [body]));
}

async function benchThreads(bodies: FillBody[], repeats: number): Promise<Row[]> {
  if (availableParallelism() < 2) return [];
  const pools = [1, 2].map((size) => new ThreadPool(size, true, () => startMeasureThread(script)));
  const triangles = bodies.reduce((sum, { wallTriangles }) => sum + wallTriangles, 0);
  const what = `${bodies.length === 1 ? 'one body' : `${bodies.length} bodies`} of ${(triangles / 1e6).toFixed(1)} M`;
  const rows: Row[] = [];
  // In turn, both in threads, so that both have been compiled alike.
  const compare = async (name: string, work: (threads: ThreadPool) => Promise<unknown>) => {
    const times: [number[], number[]] = [[], []];
    for (let i = -warmUps; i < repeats; i++) {
      for (const [k, pool] of pools.entries()) {
        const start = performance.now();
        await work(pool);
        if (i >= 0) times[k]!.push(performance.now() - start);
      }
    }
    const [ours, theirs] = times.map(median);
    const peer = 'the same on two cores';
    rows.push({
      what: `${name} of ${what}, one core`,
      ours: ours!,
      peer,
      theirs: theirs!,
      unit: 'ms wall',
      limit: '>1.6',
    });
  };
  await compare('thickness and edges', (threads) => measureAllEdges(bodies, {}, { threads }, async () => {}));
  if (bodies.length === 1) {
    const measured = await measureBody(bodies[0]!, undefined, { threads: pools[1] });
    await compare('thickness map', (threads) => thicknessMap(measured, { threads }));
  }
  for (const pool of pools) pool.end();
  return rows;
}

/** Per sample: our whole thickness, against the one query for a nearest point that any such method begins with. */
async function benchQueries(body: MeasuredBody, repeats: number): Promise<Row> {
  const { fill, normals } = body;
  const count = fill.wallTriangles;
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(fill.positions), 3));
  geometry.setIndex(new BufferAttribute(fill.triangles.slice(0, 3 * count), 1));
  const bvh = new MeshBVH(geometry, { indirect: true });
  const step = Math.max(1, Math.floor(count / 20_000));
  const at: number[][] = [];
  for (let f = 0; f < count; f += step) {
    const centre = [0, 1, 2].map((axis) =>
      [0, 1, 2].reduce((sum, k) => sum + fill.positions[3 * fill.triangles[3 * f + k]! + axis]! / 3, 0),
    );
    at.push([...centre, normals[3 * f]!, normals[3 * f + 1]!, normals[3 * f + 2]!]);
  }
  const ours = () => {
    for (const [x, y, z, nx, ny, nz] of at) thicknessAtWall(body, x!, y!, z!, nx!, ny!, nz!);
  };
  const point = new Vector3();
  const found = { point: new Vector3(), distance: 0, faceIndex: 0 };
  const theirs = () => {
    for (const [x, y, z, nx, ny, nz] of at) {
      const r = Math.min(-z! / (1 + nz!), body.largestBall.diameterMm / 2);
      bvh.closestPointToPoint(point.set(x! + r * nx!, y! + r * ny!, z! + r * nz!), found, 0, r);
    }
  };
  const [a, b]: [number[], number[]] = [[], []];
  for (let i = 0; i <= repeats; i++) {
    for (const [task, times] of [
      [ours, a],
      [theirs, b],
    ] as const) {
      const start = performance.now();
      task();
      if (i > 0) times.push(((performance.now() - start) * 1000) / at.length);
    }
  }
  const peer = 'three-mesh-bvh, one nearest point';
  return { what: 'thickness at a wall point', ours: median(a), peer, theirs: median(b), unit: 'µs', limit: null };
}
