import { createHash } from 'node:crypto';
import { mkdtemp, rm, utimes, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { hashedBeside, hashFile } from '../../cli/hash-beside.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { readMesh } from '../../src/reading/read-mesh.js';

const positions = Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1);
const stl = toBinaryStl({ positions, triangles: Uint32Array.of(0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3) });
const never = new AbortController().signal;

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plateful-'));
});
afterAll(() => rm(folder, { recursive: true }));

test('a mesh that is read beside its hash has the hash of its bytes', async () => {
  await writeFile(join(folder, 'a.stl'), stl);
  const source = await hashedBeside('a.stl', folder, hashFile('a.stl', folder, never));
  expect((await readMesh(source)).sha256).toBe(createHash('sha256').update(stl).digest('hex'));
});

test('a file that was written anew meanwhile is a fault, though it has the same size', async () => {
  await writeFile(join(folder, 'b.stl'), stl);
  const hash = await hashFile('b.stl', folder, never);
  await utimes(join(folder, 'b.stl'), new Date(), new Date(hash.changedMs + 1000));
  const changed = await hashedBeside('b.stl', folder, Promise.resolve(hash));
  await expect(readMesh(changed)).rejects.toMatchObject({ code: 'file-changed', file: 'b.stl' });
});

test('it stops when the hash is no longer wanted', async () => {
  await writeFile(join(folder, 'c.stl'), stl);
  await expect(hashFile('c.stl', folder, AbortSignal.abort())).rejects.toMatchObject({ name: 'AbortError' });
  await expect(hashFile('none.stl', folder, never)).rejects.toMatchObject({ code: 'file-missing', file: 'none.stl' });
});
