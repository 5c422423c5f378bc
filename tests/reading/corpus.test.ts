import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { Fault } from '../../src/base/fault.js';
import { stlLoader } from './three-loaders.js';
import { corners, read } from './tools.js';

// npm's stl-models: STL files that others made for tests of readers, good ones and broken ones.
const models = dirname(createRequire(import.meta.url).resolve('stl-models/package.json'));

/** What is wrong with each file, and where; the others are well formed, or wrong only in normals, names or closedness. */
const refused: Readonly<Record<string, string>> = {
  'empty.stl': 'file-empty',
  'fourVertices.ascii.stl': 'stl-facet-corners',
  'quad.ascii.stl': 'stl-facet-corners',
  'twoVertices.ascii.stl': 'stl-facet-corners',
  'incorrectFaceCounter.bin.stl': 'stl-count-too-large',
  'missingEndsolid.ascii.stl': 'stl-ascii-cut-short',
  'missingNormal.ascii.stl': 'stl-unexpected-word',
  'faceless.ascii.stl': 'no-triangles',
  // Its bytes over 127 have become U+FFFD: the package was made with the file taken for text.
  'multiWordName.bin.stl': 'mangled-as-text',
};

const files = ['broken', 'misc', 'objects', 'polytopes'].flatMap((folder) =>
  readdirSync(join(models, folder)).map((name) => [name, join(models, folder, name)] as const),
);

describe('stl-models', () => {
  test.each(files)('%s', async (name, path) => {
    const bytes = new Uint8Array(readFileSync(path));
    const code = refused[name];
    if (code !== undefined) {
      await expect(read(bytes, name)).rejects.toMatchObject({ code });
      return;
    }
    const { mesh } = await read(bytes, name);
    const theirs = stlLoader.parse(bytes.buffer).getAttribute('position').array;
    expect(Buffer.compare(Buffer.from(Float32Array.from(corners(mesh), zero).buffer), bufferOf(theirs))).toBe(0);
  });

  test('the same bunny as text and as binary: the same faces between as many vertices', async () => {
    const [text, binary] = await Promise.all(
      ['bunny.ascii.stl', 'bunny.bin.stl'].map((name) =>
        read(new Uint8Array(readFileSync(join(models, 'objects', name)))),
      ),
    );
    expect(text!.mesh.triangles).toEqual(binary!.mesh.triangles);
    // Closed but for the holes in its base, as the scan is known to be: V - E + F is small.
    expect(text!.mesh.positions.length).toBe(binary!.mesh.positions.length);
  });
});

function zero(value: number): number {
  return value + 0;
}

function bufferOf(values: ArrayLike<number>): Buffer {
  return Buffer.from(Float32Array.from(values, zero).buffer);
}

test('a broken file of this kind is a Fault, not just an error', async () => {
  const bytes = new Uint8Array(readFileSync(join(models, 'broken', 'quad.ascii.stl')));
  await expect(read(bytes)).rejects.toBeInstanceOf(Fault);
});
