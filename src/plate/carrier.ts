import { convexHull, isInside } from '../base/plane-geometry.js';
import { axesAround } from '../mesh/rigid.js';
import { sizeableShells } from '../mesh/shells.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { CandidatePlane } from './candidate-planes.js';

/**
 * Whether one body of a mesh carries all the others, as a board carries the pieces sunk into it: seen along the plane's
 * normal, each other body's middle lies over it. A mesh of one body carries itself.
 */
export function hasCarrier(mesh: TriangleMesh, plane: CandidatePlane): boolean {
  const { x, y } = axesAround(plane.normal);
  const footprints = sizeableShells(mesh).map((own) => {
    const xs = new Float64Array(3 * own.length);
    const ys = new Float64Array(3 * own.length);
    own.forEach((t, i) => {
      for (let k = 0; k < 3; k++) {
        const v = 3 * mesh.triangles[3 * t + k]!;
        const [px, py, pz] = [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
        xs[3 * i + k] = x[0] * px + x[1] * py + x[2] * pz;
        ys[3 * i + k] = y[0] * px + y[1] * py + y[2] * pz;
      }
    });
    return { hull: convexHull(xs, ys), middle: [middle(xs), middle(ys)] as const };
  });
  return footprints.some(({ hull }) => footprints.every(({ middle: [px, py] }) => isInside([hull], px, py)));
}

function middle(values: Float64Array): number {
  let [least, most] = [Infinity, -Infinity];
  for (const value of values) {
    if (value < least) least = value;
    if (value > most) most = value;
  }
  return (least + most) / 2;
}
