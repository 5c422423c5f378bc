import { dot, type Vec3 } from '../mesh/rigid.js';

export interface Rectangle {
  /** Unit vector along the first side, in the plane's x and y. */
  readonly along: readonly [number, number];
  readonly lengthMm: number;
  readonly widthMm: number;
  /** Middle of the rectangle. */
  readonly middle: readonly [number, number];
}

/**
 * The smallest rectangle round a set of points in a plane. One of its sides lies along a side of the convex hull
 * (Freeman, Shapira 1975), so only those directions are tried.
 * @param hull convex polygon, x and y per corner, counter-clockwise
 */
export function smallestRectangle(hull: Float64Array): Rectangle {
  let best: (Rectangle & { area: number }) | undefined;
  const n = hull.length / 2;
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    const dx = hull[2 * j]! - hull[2 * i]!;
    const dy = hull[2 * j + 1]! - hull[2 * i + 1]!;
    const length = Math.hypot(dx, dy);
    if (length === 0) continue;
    const [ux, uy] = [dx / length, dy / length];
    let [u0, u1, v0, v1] = [Infinity, -Infinity, Infinity, -Infinity];
    for (let k = 0; k < n; k++) {
      const u = hull[2 * k]! * ux + hull[2 * k + 1]! * uy;
      const v = -hull[2 * k]! * uy + hull[2 * k + 1]! * ux;
      u0 = Math.min(u0, u);
      u1 = Math.max(u1, u);
      v0 = Math.min(v0, v);
      v1 = Math.max(v1, v);
    }
    const area = (u1 - u0) * (v1 - v0);
    // Among equals to the figure of the coordinates the longest hull side wins: it fixes the direction best.
    if (best !== undefined && area > best.area * (1 - 1e-9)) continue;
    const [um, vm] = [(u0 + u1) / 2, (v0 + v1) / 2];
    const turned = v1 - v0 > u1 - u0;
    best = {
      area,
      along: turned ? [-uy, ux] : [ux, uy],
      lengthMm: turned ? v1 - v0 : u1 - u0,
      widthMm: turned ? u1 - u0 : v1 - v0,
      middle: [um * ux - vm * uy, um * uy + vm * ux],
    };
  }
  if (best === undefined) throw new Error('smallestRectangle needs a hull with an area');
  return best;
}

/** Sides that differ by less than this share count as equal: the plate is square and has four possible frames. */
const squareShare = 0.005;

/**
 * The axes of the plate frame. Of the two directions that the long side allows (on a square plate: four), the one that
 * turns the file's own axes least.
 * @param axes the provisional frame: its x, y and z in the file's axes
 */
export function plateAxes(rectangle: Rectangle, axes: { x: Vec3; y: Vec3; z: Vec3 }) {
  const square = rectangle.lengthMm - rectangle.widthMm <= squareShare * rectangle.lengthMm;
  const choices: { x: Vec3; y: Vec3; trace: number; quarter: number }[] = [];
  for (let quarter = 0; quarter < 4; quarter++) {
    if (quarter % 2 === 1 && !square) continue;
    const [c, s] = [
      [1, 0],
      [0, 1],
      [-1, 0],
      [0, -1],
    ][quarter] as [number, number];
    const [ax, ay] = rectangle.along;
    const [px, py] = [c * ax - s * ay, s * ax + c * ay];
    const x = mix(axes.x, px, axes.y, py);
    const y = mix(axes.x, -py, axes.y, px);
    choices.push({ x, y, trace: x[0] + y[1] + axes.z[2], quarter });
  }
  // The trace of a rotation grows as its angle falls. A tie goes to the frame whose x lies most along the file's +x, +y, +z.
  choices.sort((a, b) => (Math.abs(a.trace - b.trace) > 1e-6 ? b.trace - a.trace : firstSign(b.x) - firstSign(a.x)));
  const best = choices[0]!;
  const turned = best.quarter % 2 === 1;
  return {
    x: best.x,
    y: best.y,
    lengthMm: turned ? rectangle.widthMm : rectangle.lengthMm,
    widthMm: turned ? rectangle.lengthMm : rectangle.widthMm,
  };
}

function firstSign(v: Vec3): number {
  return Math.sign(v.find((value) => Math.abs(value) > 1e-6) ?? 0);
}

function mix(a: Vec3, s: number, b: Vec3, t: number): Vec3 {
  return [a[0] * s + b[0] * t, a[1] * s + b[1] * t, a[2] * s + b[2] * t];
}

/** Where the frame's origin lies: the rectangle's corner with the least x and y, in the provisional plane's x and y. */
export function originCorner(
  rectangle: Rectangle,
  axes: { x: Vec3; y: Vec3 },
  frame: { x: Vec3; y: Vec3; lengthMm: number; widthMm: number },
): [number, number] {
  const along = [dot(frame.x, axes.x), dot(frame.x, axes.y)] as const;
  const across = [dot(frame.y, axes.x), dot(frame.y, axes.y)] as const;
  return [
    rectangle.middle[0] - (along[0] * frame.lengthMm) / 2 - (across[0] * frame.widthMm) / 2,
    rectangle.middle[1] - (along[1] * frame.lengthMm) / 2 - (across[1] * frame.widthMm) / 2,
  ];
}
