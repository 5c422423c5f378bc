import { gzipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { to3mf, toAsciiStl, toBinaryStl, toObj, toPly } from '../../fixtures/make/write.js';
import { Fault } from '../../src/base/fault.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import type { readMesh } from '../../src/reading/read-mesh.js';
import { mutated } from './mutations.js';
import { bytesOf, read, readInPieces, readWhole, sheet, tetrahedron } from './tools.js';
import { assembly, boxObject, item, model, relations, zipOf } from './zip-maker.js';

/** How many damaged files of each kind; `FUZZ=100000 npx vitest run tests/reading/fuzz` looks longer. */
const runs = Number(process.env.FUZZ ?? 150);

const mesh = sheet(2);
const objOfPolygons = bytesOf(
  'o left\nv 0 0 0\nv 4 0 0\nv 4 4 0\nv 1 1 0\nv 2 0 0 1 1 1\nv 0 4 0\nf 1 5 2 3 4 6\ng right\nf -1/1/1 -2 -3 \\\n 1\n# end\n',
);
const package3mf = {
  '_rels/.rels': relations(),
  '3D/3dmodel.model': model(
    boxObject(1, [1, 2, 3], 'name="a"') + assembly(2, [[1, 'transform="-1 0 0 0 1 0 0 0 1 0 0 0"'], [1]]),
    item(2) + item(1),
  ),
};
const seeds: [string, Uint8Array][] = [
  ['binary STL', toBinaryStl(mesh, 'solid')],
  ['ASCII STL', toAsciiStl(tetrahedron)],
  ['OBJ', toObj(mesh)],
  ['OBJ of polygons', objOfPolygons],
  ['PLY', toPly(mesh, 'ascii')],
  ['binary PLY', toPly(mesh, 'binary_little_endian')],
  ['big-endian PLY', toPly(tetrahedron, 'binary_big_endian', 'float')],
  ['gzip', gzipSync(toBinaryStl(mesh))],
  ['3MF', to3mf(mesh)],
  ['3MF of stored parts', zipOf(package3mf, 0)],
];

function isSound({ positions, triangles }: TriangleMesh): boolean {
  const vertices = positions.length / 3;
  return (
    triangles.length > 0 && triangles.every((v) => v < vertices) && positions.every((value) => Number.isFinite(value))
  );
}

async function outcome(bytes: Uint8Array): Promise<string> {
  const file = await read(bytes).catch((error: unknown) => error);
  if (file instanceof Fault) {
    expect(file.toLine()).toMatch(/^test.* \[[a-z0-9-]+\]$/s);
    expect(file.toLine().length).toBeLessThan(500);
    return file.code;
  }
  if (file instanceof Error) throw file;
  const { coordinateStep, mesh: found } = file as Awaited<ReturnType<typeof readMesh>>;
  expect(isSound(found)).toBe(true);
  expect(coordinateStep).toBeGreaterThan(0);
  return 'read';
}

describe('a damaged file is a sound mesh or a fault, nothing else', () => {
  test.each(seeds)(`%s (${runs} files, seed 99)`, async (_, bytes) => {
    const uniform = mulberry32(99);
    const outcomes = new Map<string, number>();
    for (let run = 0; run < runs; run++) {
      const damaged = mutated(bytes, uniform);
      try {
        const code = await outcome(damaged);
        outcomes.set(code, (outcomes.get(code) ?? 0) + 1);
      } catch (error) {
        throw new Error(`run ${run}: ${Buffer.from(damaged).toString('base64')}`, { cause: error });
      }
    }
    // The damage must reach past the first check: some files are refused, for several reasons.
    expect(outcomes.size).toBeGreaterThan(2);
  });

  test('the same damage in the parts of a 3MF, repacked', async () => {
    const uniform = mulberry32(3);
    for (let run = 0; run < runs; run++) {
      const part = mutated(bytesOf(package3mf['3D/3dmodel.model']), uniform);
      await outcome(zipOf({ ...package3mf, '3D/3dmodel.model': part }, 0));
    }
  });

  test('in chunks of random lengths the outcome is the same', async () => {
    const uniform = mulberry32(7);
    for (const [, bytes] of seeds) {
      for (let run = 0; run < runs / 5; run++) {
        const damaged = mutated(bytes, uniform);
        const lengths = Array.from({ length: 5 }, () => 1 + Math.floor(uniform() * 60));
        const [whole, pieces] = await Promise.allSettled([readWhole(damaged), readInPieces(damaged, lengths)]);
        if (whole.status === 'rejected') whole.reason.file = undefined;
        expect(pieces).toEqual(whole);
      }
    }
  });
});
