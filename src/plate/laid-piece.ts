import { convexHull } from '../base/plane-geometry.js';
import { compose, dot, intoFrame, type Vec3 } from '../mesh/rigid.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { originCorner, plateAxes, smallestRectangle } from './plate-frame.js';

/** A loose piece laid with its flat back in z = 0, hanging below, as it would lie in a mould. */
export interface LaidPiece {
  /** Numbers of its triangles in the file's mesh. */
  readonly own: Uint32Array;
  /** Rigid motion from the file's millimetres to the piece's own frame, column-major. */
  readonly toPiece: number[];
  /** Place of its frame's origin in the common layout, x and y. */
  readonly offsetMm: readonly [number, number];
  readonly lengthMm: number;
  readonly widthMm: number;
  /** Robust standard deviation of the back's points from their plane. */
  readonly sigmaMm: number;
  /** Half-width of the band round z = 0 that all points of the back lie in, but for a few in ten thousand. */
  readonly bandMm: number;
  /** How well the mean height of the back is known: its noise over the root of its number of points, by their weights. */
  readonly levelSigmaMm: number;
}

/** Points of a levelled back as they count in a fit by area: as many as would, with equal weights, give a mean as good. */
function pointsOfBack({ positions: p, triangles }: TriangleMesh, bandMm: number): number {
  const weights = new Float64Array(p.length / 3);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
    if (Math.max(Math.abs(p[a + 2]!), Math.abs(p[b + 2]!), Math.abs(p[c + 2]!)) > bandMm) continue;
    const area = (p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!);
    if (!(area > 0)) continue;
    for (const at of [a, b, c]) weights[at / 3]! += area;
  }
  let [sum, squares] = [0, 0];
  for (const weight of weights) {
    sum += weight;
    squares += weight * weight;
  }
  return squares > 0 ? (sum * sum) / squares : 1;
}

/** Turns a levelled piece in plan: x along the long side of its back, origin at the corner of the back's rectangle. */
export function framed(
  own: Uint32Array,
  levelled: TriangleMesh,
  toLevel: number[],
  sigmaMm: number,
  floorMm: number,
): LaidPiece {
  const bandMm = Math.max(floorMm, 4 * sigmaMm);
  const xs: number[] = [];
  const ys: number[] = [];
  for (let i = 0; i < levelled.positions.length; i += 3) {
    if (Math.abs(levelled.positions[i + 2]!) > bandMm) continue;
    xs.push(levelled.positions[i]!);
    ys.push(levelled.positions[i + 1]!);
  }
  const rectangle = smallestRectangle(convexHull(Float64Array.from(xs), Float64Array.from(ys)));
  const axes = {
    x: [toLevel[0]!, toLevel[4]!, toLevel[8]!] as Vec3,
    y: [toLevel[1]!, toLevel[5]!, toLevel[9]!] as Vec3,
    z: [toLevel[2]!, toLevel[6]!, toLevel[10]!] as Vec3,
  };
  const frame = plateAxes(rectangle, axes);
  const corner = originCorner(rectangle, axes, frame);
  const along: Vec3 = [dot(frame.x, axes.x), dot(frame.x, axes.y), 0];
  const turn = intoFrame(along, [-along[1], along[0], 0], [0, 0, 1], [corner[0], corner[1], 0]);
  return {
    ...{ own, toPiece: compose(turn, toLevel), offsetMm: [0, 0] },
    ...{ lengthMm: frame.lengthMm, widthMm: frame.widthMm },
    ...{ sigmaMm, bandMm, levelSigmaMm: sigmaMm / Math.sqrt(pointsOfBack(levelled, bandMm)) },
  };
}
