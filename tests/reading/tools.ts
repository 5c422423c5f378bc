import fc from 'fast-check';
import { bytesSource, type MeshSource } from '../../src/base/source.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import type { ParsedMesh } from '../../src/reading/format.js';
import { formats } from '../../src/reading/formats.js';
import { type MeshFile, readMesh } from '../../src/reading/read-mesh.js';
import { bestFormat, headOf, SniffingParser } from '../../src/reading/sniff.js';

export function bytesOf(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

export function read(bytes: Uint8Array | string, name = 'test'): Promise<MeshFile> {
  return readMesh(bytesSource(name, typeof bytes === 'string' ? bytesOf(bytes) : bytes));
}

/** The coordinates of every triangle's corners in the file's order: stride 9. */
export function corners({ positions, triangles }: TriangleMesh): Float64Array {
  const all = new Float64Array(3 * triangles.length);
  for (let i = 0; i < triangles.length; i++) {
    all.set(positions.subarray(3 * triangles[i]!, 3 * triangles[i]! + 3), 3 * i);
  }
  return all;
}

/** The bytes in chunks of the given lengths, taken in turn. Each chunk is overwritten once it was used, as a file's is. */
export function chunkedSource(bytes: Uint8Array, lengths: readonly number[]): MeshSource {
  return {
    name: 'chunked',
    byteLength: bytes.length,
    async *chunks() {
      for (let at = 0, turn = 0; at < bytes.length; turn++) {
        const chunk = bytes.slice(at, at + lengths[turn % lengths.length]!);
        at += chunk.length;
        yield chunk;
        chunk.fill(0x41);
      }
    },
  };
}

/**
 * What the format's own parser makes of the bytes in pieces of the given lengths, taken in turn. `readMesh` gathers the
 * first 64 KB to recognise the format, so in a small file the parser would never see a piece.
 */
export async function readInPieces(bytes: Uint8Array, lengths: readonly number[]): Promise<ParsedMesh> {
  const head = headOf(bytes, bytes.length);
  const parser = bestFormat(formats, head).open(head, () => new SniffingParser(formats, undefined, 1));
  for await (const piece of chunkedSource(bytes, lengths).chunks()) parser.push(piece);
  return parser.finish();
}

/** What `readMesh` makes of the bytes as a whole, as far as the parser gives it. */
export async function readWhole(bytes: Uint8Array): Promise<ParsedMesh> {
  const { bytes: _, sha256: __, ...parsed } = await read(bytes);
  return parsed;
}

/** A closed tetrahedron with coordinates that float32 holds exactly. */
export const tetrahedron: TriangleMesh = {
  positions: Float64Array.of(0, 0, 0, 4, 0, 0, 0, 3.5, 0, 0, 0, -2.25),
  triangles: Uint32Array.of(0, 1, 2, 0, 3, 1, 1, 3, 2, 0, 2, 3),
};

/** A wavy sheet of 2 n² triangles, with coordinates that float32 holds exactly. */
export function sheet(n: number): TriangleMesh {
  const positions = new Float64Array(3 * (n + 1) ** 2);
  const triangles: number[] = [];
  for (let row = 0, at = 0; row <= n; row++) {
    for (let column = 0; column <= n; column++) {
      positions.set([column / 4, row / 4, Math.fround(Math.sin(column / 5) * Math.cos(row / 7))], at);
      at += 3;
      const a = row * (n + 1) + column;
      if (row < n && column < n) triangles.push(a, a + 1, a + n + 2, a, a + n + 2, a + n + 1);
    }
  }
  return { positions, triangles: Uint32Array.from(triangles) };
}

const coordinate = fc.oneof(
  fc.float({ min: -1e6, max: 1e6, noNaN: true, noDefaultInfinity: true }),
  fc.integer({ min: -4, max: 4 }),
);
/** Any triangles between any points: also such that share vertices, meet themselves or have no area. */
export const anyMesh: fc.Arbitrary<TriangleMesh> = fc
  .array(fc.tuple(coordinate, coordinate, coordinate), { minLength: 3, maxLength: 30 })
  .chain((points) =>
    fc.array(fc.nat(points.length - 1), { minLength: 3, maxLength: 60 }).map((indices) => ({
      // The writers write -0 as 0.
      positions: Float64Array.from(points.flat(), (value) => value + 0),
      triangles: Uint32Array.from(indices.slice(0, 3 * Math.floor(indices.length / 3))),
    })),
  );
