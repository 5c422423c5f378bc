import { availableParallelism } from 'node:os';
import { resolve } from 'node:path';
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
import type { Row } from './rows.js';
import { median } from './run-process.js';

const script = pathToFileURL(resolve(import.meta.dirname, '../../dist/cli/measure-thread.js'));

/** The thickness of all cavities on one core and on two, and a sample of it against a nearest-point query of a peer. */
export async function benchThickness(file: string, repeats: number, withPeer: boolean): Promise<Row[]> {
  const { cavities } = await survey(await fileSource(file), { edges: null });
  const bodies = cavities.flatMap(({ body }) => (body === null ? [] : [body]));
  const rows = await benchThreads(bodies, repeats);
  const largest = bodies.reduce((a, b) => (b.wallTriangles > a.wallTriangles ? b : a));
  rows.push(...(await benchThreads([largest], repeats)).map((row) => ({ ...row, limit: null })));
  if (withPeer) rows.push(await benchQueries(await measureBody(largest), repeats));
  return rows;
}

async function benchThreads(bodies: FillBody[], repeats: number): Promise<Row[]> {
  if (availableParallelism() < 2) return [];
  const pause = async () => {};
  const one: number[] = [];
  const two: number[] = [];
  const mapOne: number[] = [];
  const mapTwo: number[] = [];
  // Both in threads, so that both have been compiled alike; the first round warms them up.
  const pools = [1, 2].map((size) => new ThreadPool(size, true, () => startMeasureThread(script)));
  const timed = async (task: () => Promise<unknown>) => {
    const start = performance.now();
    await task();
    return performance.now() - start;
  };
  const measured = bodies.length === 1 ? await measureBody(bodies[0]!) : undefined;
  for (let i = 0; i <= repeats; i++) {
    for (const [k, times] of [one, two].entries()) {
      const ms = await timed(() => measureAllEdges(bodies, {}, { threads: pools[k] }, pause));
      if (i > 0) times.push(ms);
    }
    if (measured === undefined) continue;
    for (const [k, times] of [mapOne, mapTwo].entries()) {
      const ms = await timed(() => thicknessMap(measured, { threads: pools[k] }));
      if (i > 0) times.push(ms);
    }
  }
  for (const pool of pools) pool.end();
  const rows: Row[] = [];
  const add = (what: string, slow: number[], fast: number[]) =>
    rows.push({
      what,
      ours: median(slow),
      peer: 'the same on two cores',
      theirs: median(fast),
      unit: 'ms wall',
      limit: '>1.6',
    });
  add(`thickness and edges of ${bodies.length} bodies, one core`, one, two);
  if (measured !== undefined) add('thickness map of one body, one core', mapOne, mapTwo);
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
