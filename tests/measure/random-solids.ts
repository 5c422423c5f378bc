/** Random bodies under z = 0, each as a mesh and as a formula. */
import type { Manifold } from 'manifold-3d';
import { wasm } from './bodies.js';

export interface RandomSolid {
  readonly solid: Manifold;
  readonly isInside: (x: number, y: number, z: number) => boolean;
  /** xMin, yMin, zMin, xMax, yMax of the part under z = 0. */
  readonly boxMm: readonly [number, number, number, number, number];
}

type Part = { readonly solid: Manifold; readonly isInside: (x: number, y: number, z: number) => boolean };

/** A shaft down from the opening with slanted chambers, and lumps of mould hung into it: flat faces, so both are exact. */
export function randomSolid(random: () => number): RandomSolid {
  const between = (low: number, high: number) => low + random() * (high - low);
  const shaft = slantedBox([0, 0, -2], [between(3, 5), between(3, 5), 7], 0, between(0, 90));
  const added = Array.from({ length: 3 + Math.floor(3 * random()) }, (): Part => {
    const centre = [between(-3, 3), between(-3, 3), between(-7, -2)] as const;
    return slantedBox(centre, [between(2, 6), between(2, 6), between(1, 3.5)], between(-40, 40), between(0, 180));
  });
  const cut = Array.from({ length: 2 }, (): Part => {
    const centre = [between(-3, 3), between(-3, 3), between(-6, -1)] as const;
    return slantedBox(centre, [between(2, 5), between(2, 5), between(0.6, 2)], between(-40, 40), between(0, 180));
  });
  const { Manifold: Solid } = wasm;
  return {
    solid: Solid.difference([
      Solid.union([shaft, ...added].map((part) => part.solid)),
      ...cut.map((part) => part.solid),
    ]),
    isInside: (x, y, z) =>
      z < 0 && [shaft, ...added].some((part) => part.isInside(x, y, z)) && !cut.some((part) => part.isInside(x, y, z)),
    boxMm: [-7.5, -7.5, -10.5, 7.5, 7.5],
  };
}

/** A box tipped about the y axis, then turned about the z axis. */
function slantedBox(
  [x, y, z]: readonly [number, number, number],
  size: readonly [number, number, number],
  tipDeg: number,
  turnDeg: number,
): Part {
  const [tip, turn] = [(tipDeg * Math.PI) / 180, (turnDeg * Math.PI) / 180];
  return {
    solid: wasm.Manifold.cube([...size], true)
      .rotate([0, tipDeg, 0])
      .rotate([0, 0, turnDeg])
      .translate([x, y, z]),
    isInside: (px, py, pz) => {
      const [dx, dy, dz] = [px - x, py - y, pz - z];
      const u = Math.cos(turn) * dx + Math.sin(turn) * dy;
      const v = -Math.sin(turn) * dx + Math.cos(turn) * dy;
      const a = Math.cos(tip) * u - Math.sin(tip) * dz;
      const c = Math.sin(tip) * u + Math.cos(tip) * dz;
      return Math.abs(a) < size[0] / 2 && Math.abs(v) < size[1] / 2 && Math.abs(c) < size[2] / 2;
    },
  };
}
