import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { toBinaryStl, toObj } from '../../fixtures/make/write.js';
import { readMesh } from '../../src/reading/read-mesh.js';
import { bytesOf, chunkedSource, read, sheet, tetrahedron } from './tools.js';

const stl = toBinaryStl(sheet(40));

test('size and hash are those of the file', async () => {
  const file = await read(stl);
  expect(file.bytes).toBe(stl.length);
  expect(file.sha256).toBe(createHash('sha256').update(stl).digest('hex'));
});

test('a hasher that comes with the source is used', async () => {
  let bytes = 0;
  const createHash = () => ({ update: (chunk: Uint8Array) => void (bytes += chunk.length), digestHex: () => 'theirs' });
  expect((await readMesh({ ...chunkedSource(stl, [999]), createHash })).sha256).toBe('theirs');
  expect(bytes).toBe(stl.length);
});

test('progress rises to 1', async () => {
  const seen: number[] = [];
  await readMesh(chunkedSource(stl, [10_000]), { progress: (_, done) => seen.push(done) });
  expect(seen.length).toBe(Math.ceil(stl.length / 10_000));
  expect(seen).toEqual(seen.toSorted((a, b) => a - b));
  expect(seen.at(-1)).toBe(1);
});

test('an abort ends it between chunks', async () => {
  const controller = new AbortController();
  const progress = (_: string, done: number) => done > 0.5 && controller.abort(new Error('stopped'));
  await expect(readMesh(chunkedSource(stl, [10_000]), { signal: controller.signal, progress })).rejects.toThrow(
    'stopped',
  );
});

test('an abort is heard while a source of one chunk is read', async () => {
  const large = toBinaryStl(sheet(300));
  const controller = new AbortController();
  setTimeout(() => controller.abort(new Error('stopped')));
  const source = {
    name: 'large',
    byteLength: large.length,
    chunks: async function* () {
      yield large;
    },
  };
  await expect(readMesh(source, { signal: controller.signal })).rejects.toThrow('stopped');
});

test('a text longer than any string may be', async () => {
  // V8 keeps no string of 2^29 characters.
  const comment = new Uint8Array(2 ** 22).fill(0x23).fill(10, -1);
  const tail = toObj(tetrahedron);
  const times = 129;
  const source = {
    name: 'long',
    byteLength: times * comment.length + tail.length,
    async *chunks() {
      for (let i = 0; i < times; i++) yield comment;
      yield tail;
    },
    createHash: () => ({ update: () => undefined, digestHex: () => 'none' }),
  };
  expect(source.byteLength).toBeGreaterThan(2 ** 29);
  expect((await readMesh(source)).mesh.triangles).toEqual(tetrahedron.triangles);
  const broken = {
    ...source,
    byteLength: source.byteLength + 6,
    chunks: async function* () {
      yield* source.chunks();
      yield bytesOf('f 1 2\n');
    },
  };
  const line = times + new TextDecoder().decode(tail).split('\n').length;
  await expect(readMesh(broken)).rejects.toMatchObject({ code: 'obj-face-short', where: `line ${line}` });
});

test('the step of the coordinates', async () => {
  // float32 has 24 bits: numbers from 256 to 512 are 2^-15 apart (IEEE 754).
  const at300 = { ...tetrahedron, positions: tetrahedron.positions.map((value) => value + 300) };
  expect((await read(toBinaryStl(at300))).coordinateStep).toBe(2 ** -15);
  const obj = (...values: string[]) => bytesOf(`v ${values.join('\nv ')}\nf 1 2 3\n`);
  // Three decimals are kept to 0.001; six digits of 123.456 too.
  expect((await read(obj('100.000 0.000 0.000', '0.000 0.125 0.000', '0.000 0.000 1.000'))).coordinateStep).toBe(0.001);
  expect((await read(obj('123.456 0 0', '0 12.5 0', '0 0 1'))).coordinateStep).toBeCloseTo(0.001, 12);
  // Seventeen digits are kept to the last bit of a float64: 123 has 46 bits behind the point.
  const full = (await read(obj('123.45678901234567 0 0', '0 12.5 0', '0 0 1'))).coordinateStep;
  expect(full).toBeLessThan(1e-12);
  expect(full).toBeGreaterThanOrEqual(2 ** -46);
});
