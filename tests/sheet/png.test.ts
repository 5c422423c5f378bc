import { crc32, inflateSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { encodePng } from '../../src/sheet/png.js';

interface Chunk {
  readonly type: string;
  readonly data: Buffer;
  readonly crc: number;
}

/** The chunks of a PNG as the specification (ISO/IEC 15948, clause 5) lays them out. */
function chunksOf(png: Uint8Array): Chunk[] {
  const bytes = Buffer.from(png);
  const chunks: Chunk[] = [];
  for (let at = 8; at < bytes.length; ) {
    const length = bytes.readUInt32BE(at);
    chunks.push({
      type: bytes.toString('latin1', at + 4, at + 8),
      data: bytes.subarray(at + 8, at + 8 + length),
      crc: bytes.readUInt32BE(at + 8 + length),
    });
    at += 12 + length;
  }
  return chunks;
}

describe('a picture as PNG', () => {
  const [width, height] = [5, 3];
  const pixels = Uint8Array.from({ length: 3 * width * height }, (_, i) => (i * 37) % 256);
  const png = encodePng(width, height, pixels, 3, 8);
  const chunks = chunksOf(png);

  test('the signature and the end are those of the specification', () => {
    expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
    expect(chunks.map(({ type }) => type)).toEqual(['IHDR', 'pHYs', 'IDAT', 'IEND']);
    // The CRC of an empty IEND chunk is the same in every PNG.
    expect(chunks.at(-1)!.crc).toBe(0xae426082);
  });

  test("every chunk's CRC is zlib's", () => {
    for (const { type, data, crc } of chunks) expect(crc32(data, crc32(type))).toBe(crc);
  });

  test('zlib and the row filter give the pixels back', () => {
    const rows = inflateSync(chunks[2]!.data);
    const back = new Uint8Array(pixels.length);
    const stride = 3 * width;
    for (let y = 0; y < height; y++) {
      expect(rows[y * (stride + 1)]).toBe(2);
      for (let i = 0; i < stride; i++) {
        back[y * stride + i] = rows[y * (stride + 1) + 1 + i]! + (y === 0 ? 0 : back[(y - 1) * stride + i]!);
      }
    }
    expect([...back]).toEqual([...pixels]);
  });

  test('it prints at its scale: pixels per metre', () => {
    expect([chunks[1]!.data.readUInt32BE(0), chunks[1]!.data.readUInt32BE(4), chunks[1]!.data[8]]).toEqual([
      8000, 8000, 1,
    ]);
  });
});
