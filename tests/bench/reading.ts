import { createHash } from 'node:crypto';
import { mulberry32, permutation } from '../../fixtures/make/random.js';
import { toAsciiStl, toObj, toPly } from '../../fixtures/make/write.js';
import { bytesSource, type MeshSource } from '../../src/base/source.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { readMesh } from '../../src/reading/read-mesh.js';
import { objLoader, plyLoader, stlLoader } from '../reading/three-loaders.js';

export interface BenchRow {
  readonly what: string;
  /** Medians of runs in turn, milliseconds. */
  readonly ours: number;
  readonly peer: string;
  readonly theirs: number;
  /** Ours over theirs should stay under it; null: only shown. */
  readonly limit: number | null;
}

/** A noisy sheet of 2 n² triangles as a scan in rows, float32 coordinates. */
export function scannedSheet(n: number): TriangleMesh {
  const uniform = mulberry32(1);
  const positions = new Float64Array(3 * (n + 1) ** 2);
  const triangles = new Uint32Array(6 * n * n);
  let put = 0;
  for (let row = 0, at = 0; row <= n; row++) {
    for (let column = 0; column <= n; column++, at += 3) {
      const v = row * (n + 1) + column;
      positions[at] = Math.fround(column * 0.1 + 0.02 * uniform());
      positions[at + 1] = Math.fround(row * 0.1 + 0.02 * uniform());
      positions[at + 2] = Math.fround(2 * Math.sin(column / 90) * Math.cos(row / 70) + 0.05 * uniform());
      if (row === n || column === n) continue;
      triangles.set([v, v + 1, v + n + 2, v, v + n + 2, v + n + 1], put);
      put += 6;
    }
  }
  return { positions, triangles };
}

/** Binary STL; the triangles in the order given. */
function stlOf({ positions, triangles }: TriangleMesh, order?: Uint32Array): Uint8Array {
  const count = triangles.length / 3;
  const bytes = new Uint8Array(84 + 50 * count);
  const view = new DataView(bytes.buffer);
  view.setUint32(80, count, true);
  for (let i = 0, at = 84; i < count; i++, at += 50) {
    const t = 3 * (order?.[i] ?? i);
    for (let k = 0; k < 9; k++) {
      view.setFloat32(at + 12 + 4 * k, positions[3 * triangles[t + Math.floor(k / 3)]! + (k % 3)]!, true);
    }
  }
  return bytes;
}

/** The least that any reader must do: copies the coordinates out, and nothing else. */
function bareCopy(bytes: Uint8Array): Float32Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const count = view.getUint32(80, true);
  const out = new Float32Array(9 * count);
  for (let i = 0, at = 96, put = 0; i < count; i++, at += 14) {
    for (let k = 0; k < 9; k++, at += 4) out[put++] = view.getFloat32(at, true);
  }
  return out;
}

async function timed(run: () => unknown): Promise<number> {
  const start = performance.now();
  await run();
  return performance.now() - start;
}

/** Runs both in turn, and gives the medians. */
async function inTurn(
  ours: () => unknown,
  theirs: () => unknown,
  times = 5,
): Promise<{ ours: number; theirs: number }> {
  const [a, b]: [number[], number[]] = [[], []];
  await ours();
  await theirs();
  for (let i = 0; i < times; i++) {
    a.push(await timed(ours));
    b.push(await timed(theirs));
  }
  const median = (values: number[]) => values.toSorted((x, y) => x - y)[Math.floor(times / 2)]!;
  return { ours: median(a), theirs: median(b) };
}

/** Reading and welding against a bare pass over the same bytes, and against three-stdlib's loaders. */
export async function benchReading(thousands = 1000, textThousands = 200): Promise<BenchRow[]> {
  const rows: BenchRow[] = [];
  const compare = async (
    what: string,
    bytes: Uint8Array,
    peer: string,
    limit: number | null,
    theirs: () => unknown,
    source = inMemory,
  ) => {
    const times = await inTurn(() => readMesh(source(bytes)), theirs);
    rows.push({ what, peer, limit, ...times });
  };
  const big = scannedSheet(Math.round(Math.sqrt(500 * thousands)));
  const scan = stlOf(big);
  await compare('binary STL, scan order', scan, 'bare copy', 3, () => bareCopy(scan), unhashed);
  await compare('binary STL, scan order, and its hash', scan, 'bare copy', null, () => bareCopy(scan));
  await compare('binary STL, scan order', scan, 'three-stdlib', null, () =>
    stlLoader.parse(scan.buffer as ArrayBuffer),
  );
  const shuffled = stlOf(big, permutation(big.triangles.length / 3, mulberry32(2)));
  await compare('binary STL, shuffled', shuffled, 'bare copy', 8, () => bareCopy(shuffled), unhashed);

  const small = scannedSheet(Math.round(Math.sqrt(500 * textThousands)));
  const decode = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
  const ascii = toAsciiStl(small);
  await compare('ASCII STL', ascii, 'three-stdlib', 1, () => stlLoader.parse(ascii.slice().buffer as ArrayBuffer));
  const obj = toObj(small);
  await compare('OBJ', obj, 'three-stdlib', 1, () => objLoader.parse(decode(obj)));
  const objShort = toObj(small, { digits: 6 });
  await compare('OBJ of six decimals', objShort, 'three-stdlib', 1, () => objLoader.parse(decode(objShort)));
  for (const encoding of ['ascii', 'binary_little_endian', 'binary_big_endian'] as const) {
    const ply = toPly(small, encoding, 'float');
    await compare(`PLY, ${encoding}`, ply, 'three-stdlib', 1, () => plyLoader.parse(ply.slice().buffer as ArrayBuffer));
  }
  return rows;
}

/** Reading and welding alone: the command line hashes the file in another thread meanwhile. */
function unhashed(bytes: Uint8Array): MeshSource {
  return { ...bytesSource('bench', bytes), createHash: () => ({ update: () => {}, digestHex: () => '' }) };
}

/** With the host's own hash, in the thread that reads. */
function inMemory(bytes: Uint8Array): MeshSource {
  return {
    ...bytesSource('bench', bytes),
    createHash: () => {
      const hash = createHash('sha256');
      return { update: (chunk) => void hash.update(chunk), digestHex: () => hash.digest('hex') };
    },
  };
}
