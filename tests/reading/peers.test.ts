import fc from 'fast-check';
import type { Mesh } from 'three';
import { describe, expect, test } from 'vitest';
import { toAsciiStl, toBinaryStl, toObj } from '../../fixtures/make/write.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { objLoader, stlLoader } from './three-loaders.js';
import { anyMesh, bytesOf, corners, read, sheet, tetrahedron } from './tools.js';

/** The loaders of three-stdlib keep float32. */
function float32Corners(mesh: TriangleMesh): Float32Array {
  return Float32Array.from(corners(mesh));
}

function stlByThree(bytes: Uint8Array): Float32Array {
  return stlLoader.parse(bytes.slice().buffer).getAttribute('position').array as Float32Array;
}

function objByThree(text: string): { name: string; corners: Float32Array }[] {
  return (objLoader.parse(text).children as Mesh[]).map(({ geometry, name }) => ({
    name,
    corners: geometry.getAttribute('position').array as Float32Array,
  }));
}

const seed = 20261125;

const many = { seed, numRuns: 200 };

describe(`equal to three-stdlib's loaders, corner for corner (seed ${seed})`, () => {
  test('binary STL', async () => {
    await fc.assert(
      fc.asyncProperty(anyMesh, async (mesh) => {
        const bytes = toBinaryStl(mesh);
        const file = await read(bytes);
        expect(file.fileFormat).toBe('stl-binary');
        expect(float32Corners(file.mesh)).toEqual(stlByThree(bytes));
        expect(corners(file.mesh)).toEqual(corners(mesh));
      }),
      many,
    );
  });

  test('ASCII STL', async () => {
    await fc.assert(
      fc.asyncProperty(anyMesh, async (mesh) => {
        const bytes = toAsciiStl(mesh);
        const file = await read(bytes);
        expect(file.fileFormat).toBe('stl-ascii');
        expect(float32Corners(file.mesh)).toEqual(stlByThree(bytes));
        expect(corners(file.mesh)).toEqual(corners(mesh));
      }),
      many,
    );
  });

  test('OBJ', async () => {
    await fc.assert(
      fc.asyncProperty(anyMesh, async (mesh) => {
        const bytes = toObj(mesh);
        const file = await read(bytes);
        expect(file.fileFormat).toBe('obj');
        expect(float32Corners(file.mesh)).toEqual(objByThree(new TextDecoder().decode(bytes))[0]?.corners);
        expect(corners(file.mesh)).toEqual(corners(mesh));
      }),
      many,
    );
  });

  test('OBJ of convex polygons in groups: the same fans, under the same names', async () => {
    const ring = (n: number, z: number) =>
      Array.from({ length: n }, (_, i) => `v ${Math.cos((6.28 * i) / n)} ${Math.sin((6.28 * i) / n)} ${z}`);
    const text = [
      ...ring(5, 0),
      'o brow left',
      'f 1 2 3 4 5',
      ...ring(4, 1),
      'g chin',
      'f -4 -3 -2 -1',
      'f 6/1/1 7/1/1 8/1/1',
      'o brow left',
      'f 9 8 7',
    ].join('\n');
    const { mesh } = await read(`vt 0 0\nvn 0 0 1\n${text}`);
    const theirs = objByThree(`vt 0 0\nvn 0 0 1\n${text}`);
    expect(mesh.objectNames).toEqual(['brow left', 'chin']);
    expect([...mesh.objectOf!]).toEqual([0, 0, 0, 1, 1, 1, 0]);
    expect(theirs.map(({ name }) => name)).toEqual(['brow left', 'chin', 'brow left']);
    const all = theirs.flatMap((part) => [...part.corners]);
    expect([...float32Corners(mesh)]).toEqual(all);
  });

  test('names of several solids', async () => {
    const one = new TextDecoder().decode(toAsciiStl(tetrahedron, 'brow  ridge, left'));
    const two = new TextDecoder().decode(toAsciiStl(sheet(1), 'Kiemenf\u00e4cher'));
    const { mesh } = await read(bytesOf(one + two));
    expect(mesh.objectNames).toEqual(['brow ridge, left', 'Kiemenf\u00e4cher']);
    expect([...mesh.objectOf!]).toEqual([0, 0, 0, 0, 1, 1]);
    expect(float32Corners(mesh)).toEqual(stlByThree(bytesOf(one + two)));
  });
});
