import { describe, expect, test } from 'vitest';
import { brokenFiles } from '../../fixtures/faulty/broken.js';
import { Fault } from '../../src/base/fault.js';
import { readMesh } from '../../src/reading/read-mesh.js';
import { chunkedSource, read, readInPieces, sheet } from './tools.js';

async function faultOf(reading: Promise<unknown>): Promise<Fault> {
  const error = await reading.then(
    () => undefined,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(Fault);
  return error as Fault;
}

const files = brokenFiles(sheet(2));

describe('broken files', () => {
  test.each(files)('$what: $code', async ({ name, bytes, code, where }) => {
    const fault = await faultOf(read(bytes, name));
    expect(fault.code).toBe(code);
    expect(fault.file).toBe(name);
    if (where !== undefined) expect(fault.where).toBe(where);
    expect(fault.kind).toBe('input');
    expect(fault.toLine()).toMatch(/^[\x20-\x7e…]+$/);
    expect(fault.remedy).toBeDefined();
  });

  test.each(files.filter(({ bytes }) => bytes.length < 10_000))(
    '$what, byte by byte: the same fault',
    async (broken) => {
      const whole = await faultOf(read(broken.bytes));
      whole.file = undefined;
      const fault = await faultOf(readInPieces(broken.bytes, [1]));
      expect(fault.toLine()).toBe(whole.toLine());
    },
  );
});

test('a file that shrinks or grows while it is read', async () => {
  const source = chunkedSource(new Uint8Array(200).fill(65), [50]);
  expect((await faultOf(readMesh({ ...source, byteLength: 300 }))).code).toBe('file-changed');
  expect((await faultOf(readMesh({ ...source, byteLength: 100 }))).code).toBe('file-changed');
});

test('memory is not taken for a count that the file does not bear out', async () => {
  const header = new Uint8Array(84 + 50);
  new DataView(header.buffer).setUint32(80, 2 ** 32 - 1, true);
  const before = process.memoryUsage().arrayBuffers;
  await faultOf(read(header));
  expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(2 ** 24);
});
