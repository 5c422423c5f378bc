import { plateMould } from '../../fixtures/make/plate.js';
import { toBinaryStl } from '../../fixtures/make/write.js';

/** A small invented mould, coarse enough to be surveyed at once: a bowl, a slab and a wedge. */
export function smallPlate(scale = 1): Uint8Array {
  const { mesh } = plateMould({
    lengthMm: 120,
    widthMm: 80,
    blockMm: 15,
    meshMm: 2,
    cavities: [
      { name: 'bowl', shape: { kind: 'cap', radius: 12, depth: 5 }, x: 25, y: 40 },
      { name: 'slab', shape: { kind: 'disc', radius: 10, depth: 2 }, x: 60, y: 40 },
      { name: 'deep', shape: { kind: 'disc', radius: 9, depth: 6 }, x: 95, y: 40 },
    ],
  });
  return toBinaryStl({ ...mesh, positions: mesh.positions.map((value) => value * scale) });
}
