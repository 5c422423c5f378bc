import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type PlyEncoding, toPly } from '../../fixtures/make/write.js';
import { plyLoader } from './three-loaders.js';
import { anyMesh, bytesOf, corners, read, readInPieces, readWhole, sheet } from './tools.js';

const encodings: PlyEncoding[] = ['ascii', 'binary_little_endian', 'binary_big_endian'];
const seed = 1994;

function cornersByThree(bytes: Uint8Array): number[] {
  const geometry = plyLoader.parse(bytes.slice().buffer);
  const position = geometry.getAttribute('position').array;
  return [...geometry.getIndex()!.array].flatMap((vertex) => [...position.slice(3 * vertex, 3 * vertex + 3)]);
}

describe.each(encodings)('%s', (encoding) => {
  test.each(['float', 'double'] as const)(`%s: equal to three-stdlib's loader (seed ${seed})`, async (type) => {
    await fc.assert(
      fc.asyncProperty(anyMesh, async (mesh) => {
        const bytes = toPly(mesh, encoding, type);
        const file = await read(bytes);
        expect(file.fileFormat).toBe('ply');
        expect([...Float32Array.from(corners(file.mesh))]).toEqual(cornersByThree(bytes));
        expect(corners(file.mesh)).toEqual(corners(mesh));
      }),
      { seed, numRuns: 100 },
    );
  });

  test('chunks of any length give the same', async () => {
    const bytes = toPly(sheet(5), encoding);
    const whole = await readWhole(bytes);
    for (const lengths of [[1], [3, 11, 1, 64], [999]]) {
      expect(await readInPieces(bytes, lengths)).toEqual(whole);
    }
  });
});

type Value = number | readonly number[];

/** Writes a PLY from its header's lines and rows of values; the header decides how each value is stored. */
function plyOf(encoding: PlyEncoding, header: string, rows: readonly (readonly Value[])[], lineEnd = '\n'): Uint8Array {
  const lines = ['ply', `format ${encoding} 1.0`, ...header.trim().split(/\n\s*/), 'end_header'];
  const start = bytesOf(lines.join(lineEnd) + lineEnd);
  if (encoding === 'ascii') {
    const text = rows.map((row) => row.map((v) => (typeof v === 'number' ? v : [v.length, ...v].join(' '))).join(' '));
    return Uint8Array.from([...start, ...bytesOf(text.join(lineEnd) + lineEnd)]);
  }
  const little = encoding === 'binary_little_endian';
  const out: number[] = [...start];
  const put = (type: string, value: number) => {
    const view = new DataView(new ArrayBuffer(8));
    const short = type.replace(/\d+$/, '');
    const bytes = /8$|char/.test(type) ? 1 : /16|short/.test(type) ? 2 : /64|double/.test(type) ? 8 : 4;
    if (bytes === 8) view.setFloat64(0, value, little);
    else if (short === 'float') view.setFloat32(0, value, little);
    else if (bytes === 4) view.setInt32(0, value, little);
    else if (bytes === 2) view.setInt16(0, value, little);
    else view.setInt8(0, value);
    out.push(...new Uint8Array(view.buffer, 0, bytes));
  };
  const elements = lines
    .slice(2)
    .join('\n')
    .split(/^element /m)
    .slice(1);
  let at = 0;
  for (const element of elements) {
    const [count, ...properties] = element
      .replace(/^\S+ /, '')
      .split('\n')
      .filter((line) => !/^(comment|end_)/.test(line));
    if (properties.join('') === '') continue;
    for (let i = 0; i < Number(count); i++, at++) {
      for (const [k, property] of properties.filter((line) => line !== '').entries()) {
        const words = property.split(' ');
        const value = rows[at]![k]!;
        if (typeof value === 'number') put(words[1]!, value);
        else {
          put(words[2]!, value.length);
          for (const item of value) put(words[3]!, item);
        }
      }
    }
  }
  return Uint8Array.from(out);
}

const roof: readonly (readonly number[])[] = [
  [0, 0, 0],
  [4, 0, 0],
  [4, 3, 0],
  [2, 5, 0],
  [0, 3, 0],
  [2, 2, 6.5],
];
const plainHeader = `element vertex 6
  property float x
  property float y
  property float z
  element face 2
  property list uchar int vertex_indices`;
const faces = [[0, 1, 2, 3, 4].toReversed(), [0, 1, 5]];
const fan = [4, 3, 2, 4, 2, 1, 4, 1, 0, 0, 1, 5];
const expected = Float64Array.from(fan.flatMap((vertex) => [...roof[vertex]!]));

describe('the same mesh in other words', () => {
  const twins: [string, string, (readonly Value[])[]][] = [
    ['plain', plainHeader, [...roof, ...faces.map((face) => [face])]],
    [
      'normals, colours, quality, flags and texture lists',
      `comment made by hand
      obj_info a scan
      element vertex 6
      property uchar red
      property double y
      property float nx
      property float64 z
      comment in between
      property int16 quality
      property float32 x
      element face 2
      property int flags
      property list uchar float texcoord
      property list ushort uint32 vertex_index
      property uchar red`,
      [
        ...roof.map(([x, y, z], i) => [i, y!, Number.NaN, z!, -i, x!]),
        ...faces.map((face) => [7, [0.5, 0.25], face, 200]),
      ],
    ],
    [
      'lists in the vertices, unknown elements before, between and after, an element without properties',
      `element camera 1
      property float view
      property list int double lens
      element vertex 6
      property list uchar ushort faces
      property float x
      property float y
      property list uint8 int8 more
      property float z
      element nothing 5
      element edge 2
      property int vertex1
      property int vertex2
      element face 2
      property list int short vertex_indices
      element material 1
      property uchar red`,
      [
        [1.5, [1, 2, 3]],
        ...roof.map(([x, y, z], i) => [new Array(i).fill(i), x!, y!, [1], z!]),
        [0, 1],
        [1, 2],
        ...faces.map((face) => [face]),
        [9],
      ],
    ],
  ];
  for (const [what, header, rows] of twins) {
    test.each(encodings.flatMap((encoding) => ['\n', '\r\n', '\r'].map((end) => [encoding, end] as const)))(
      `${what}: %s, line end %j`,
      async (encoding, lineEnd) => {
        const bytes = plyOf(encoding, header, rows, lineEnd);
        const file = await read(bytes);
        expect(corners(file.mesh)).toEqual(expected);
        expect(file.mesh.positions.length).toBe(18);
        expect(await readInPieces(bytes, [1])).toEqual(await readWhole(bytes));
      },
    );
  }

  test('coordinates as whole numbers', async () => {
    const header = plainHeader.replaceAll('float', 'short');
    const whole = roof.map(([x, y, z]) => [x!, y!, 2 * z!]);
    const file = await read(plyOf('binary_big_endian', header, [...whole, ...faces.map((face) => [face])]));
    expect(file.coordinateStep).toBe(1);
    expect([...corners(file.mesh)]).toEqual(fan.flatMap((vertex) => whole[vertex]!));
  });
});
