import { describe, expect, test } from 'vitest';
import { twins } from '../../fixtures/faulty/twins.js';
import { corners, read, readInPieces, readWhole, sheet } from './tools.js';

const mesh = sheet(3);
const plain = corners(mesh);

describe('odd but valid files hold the same triangles as the plain one', () => {
  test.each(twins(mesh))('$what', async ({ bytes, fileFormat, name }) => {
    const file = await read(bytes, name);
    expect(file.fileFormat).toBe(fileFormat);
    expect(file.trianglesInFile).toBe(mesh.triangles.length / 3);
    expect(corners(file.mesh)).toEqual(plain);
    expect(file.mesh.positions.length).toBe(mesh.positions.length);
  });

  test.each(twins(mesh))('$what, in chunks of 1, of 1 to 7, and of 50 bytes', async ({ bytes }) => {
    const whole = await readWhole(bytes);
    for (const lengths of [[1], [1, 2, 3, 4, 5, 6, 7], [50], [49, 84, 3]]) {
      expect(await readInPieces(bytes, lengths)).toEqual(whole);
    }
  });
});

test.each(twins(mesh).filter(({ fileFormat }) => fileFormat !== 'stl-binary'))(
  '$what, cut right behind its line ends, and one byte on either side of them',
  async ({ bytes }) => {
    const whole = await readWhole(bytes);
    for (const every of [1, 2, 5]) {
      for (const shift of [-1, 0, 1])
        expect(await readInPieces(bytes, lineLengths(bytes, every, shift))).toEqual(whole);
    }
  },
);

/** Lengths of chunks that end `shift` bytes behind every so manieth line end. */
function lineLengths(bytes: Uint8Array, every: number, shift: number): number[] {
  const ends = [...bytes.keys()].filter((at) => bytes[at] === 10 || bytes[at] === 13).filter((_, i) => i % every === 0);
  const cuts = ends.map((at) => Math.min(bytes.length, Math.max(1, at + 1 + shift)));
  const lengths = cuts.map((cut, i) => cut - (i === 0 ? 0 : cuts[i - 1]!)).filter((length) => length > 0);
  return lengths.length === 0 ? [bytes.length] : lengths;
}

test('a face of 1,000 corners is 998 triangles with its area', async () => {
  const n = 1000;
  const angle = (i: number) => (2 * Math.PI * i) / n;
  const vertices = Array.from({ length: n }, (_, i) => `v ${30 * Math.cos(angle(i))} ${30 * Math.sin(angle(i))} 2`);
  const face = Array.from({ length: n }, (_, i) => i + 1).join(' ');
  const { mesh: disc } = await read(`${vertices.join('\n')}\nf ${face}\n`);
  expect(disc.triangles.length / 3).toBe(n - 2);
  const c = corners(disc);
  let area = 0;
  for (let i = 0; i < c.length; i += 9) {
    area += ((c[i + 3]! - c[i]!) * (c[i + 7]! - c[i + 1]!) - (c[i + 6]! - c[i]!) * (c[i + 4]! - c[i + 1]!)) / 2;
  }
  // Area of an inscribed regular n-gon: n/2 r² sin(2 pi/n).
  expect(area).toBeCloseTo((n / 2) * 900 * Math.sin(angle(1)), 8);
});
