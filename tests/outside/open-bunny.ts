import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import type { PlatePlan } from '../../fixtures/make/plate.js';
import { pressedWalls } from '../../fixtures/make/press.js';
import { motion, moved, scaled } from '../../fixtures/make/transform.js';
import { bytesSource } from '../../src/base/source.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { readMesh } from '../../src/reading/read-mesh.js';

const models = dirname(createRequire(import.meta.url).resolve('stl-models/package.json'));

/**
 * The full scan of a clay rabbit that npm's stl-models ships, 69,451 triangles, with the five holes in its base that the
 * scan is known to have; here 19 mm long, so that they are 1.5 to 6 mm wide, standing 4 mm deep in the land z = 0.
 */
export async function openBunny(): Promise<TriangleMesh> {
  const bytes = new Uint8Array(readFileSync(join(models, 'objects', 'bunny.bin.stl')));
  const { mesh } = await readMesh(bytesSource('bunny.stl', bytes));
  const body = moved(scaled(mesh, 125), motion([1, 0, 0], 90));
  const lowest = body.positions.reduce((low, value, i) => (i % 3 === 2 ? Math.min(low, value) : low), Infinity);
  return moved(body, motion([0, 0, 1], 0, [60, 50, -4.0003 - lowest]));
}

/** It pressed into a block; the borders of its holes are no rims. */
export async function openBunnyPlate(): Promise<PlatePlan> {
  const cavities = pressedWalls(await openBunny()).map((wall, i) => {
    const isRim = (loop: readonly number[]) => loop.every((v) => wall.positions[3 * v + 2] === 0);
    return { name: `bunny ${i + 1}`, shape: { ...wall, rimLoops: wall.rimLoops.filter(isRim) }, x: 0, y: 0 };
  });
  return { lengthMm: 120, widthMm: 100, blockMm: 12, meshMm: 1, cavities };
}
