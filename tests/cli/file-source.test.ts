import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { chmod, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { fileSource } from '../../cli/file-source.js';
import { mulberry32 } from '../../fixtures/make/random.js';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'plateful-'));
});
afterAll(() => rm(folder, { recursive: true }));

test('a file of several chunks comes whole and in order', async () => {
  const uniform = mulberry32(5);
  const bytes = Uint8Array.from({ length: 5_000_001 }, () => 256 * uniform());
  await writeFile(join(folder, 'bytes'), bytes);
  const source = await fileSource('bytes', folder);
  expect(source).toMatchObject({ name: 'bytes', byteLength: bytes.length });
  const hash = source.createHash!();
  let at = 0;
  for await (const chunk of source.chunks()) {
    expect(Buffer.compare(chunk, bytes.subarray(at, at + chunk.length))).toBe(0);
    at += chunk.length;
    hash.update(chunk);
  }
  expect(at).toBe(bytes.length);
  expect(await hash.digestHex()).toBe(createHash('sha256').update(bytes).digest('hex'));
});

test('it may be left in the middle', async () => {
  await writeFile(join(folder, 'left'), new Uint8Array(6_000_000));
  for await (const chunk of (await fileSource('left', folder)).chunks()) {
    expect(chunk.length).toBeGreaterThan(0);
    break;
  }
});

test('what is no readable file is a fault of its own code', async () => {
  await expect(fileSource('none.stl', folder)).rejects.toMatchObject({ code: 'file-missing', file: 'none.stl' });
  await expect(fileSource('.', folder)).rejects.toMatchObject({ code: 'file-is-folder' });
  await writeFile(join(folder, 'plain'), 'x');
  await expect(fileSource('plain/inside.stl', folder)).rejects.toMatchObject({ code: 'file-missing' });
  execFileSync('mkfifo', [join(folder, 'pipe')]);
  await expect(fileSource('pipe', folder)).rejects.toMatchObject({ code: 'file-not-regular' });
});

// Whoever runs the tests as root may read everything.
test.skipIf(process.getuid?.() === 0)('a file that may not be read', async () => {
  await writeFile(join(folder, 'locked'), 'x');
  await chmod(join(folder, 'locked'), 0);
  await expect(fileSource('locked', folder)).rejects.toMatchObject({ code: 'file-no-permission' });
});
