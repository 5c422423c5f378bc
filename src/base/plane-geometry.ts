import { inBatches } from './batches.js';
import { GrowingUint32 } from './growing.js';

/** Plain geometry in the plane. Polygons are flat arrays: x and y per corner, the first corner not repeated. */

/** Signed area: positive where the corners run counter-clockwise. */
export function polygonArea(loop: Float64Array): number {
  let doubled = 0;
  const n = loop.length;
  if (n < 6) return 0;
  // Relative to the first corner, which keeps the digits of a small polygon far from the origin.
  const [ox, oy] = [loop[0]!, loop[1]!];
  for (let i = 2; i + 3 < n; i += 2) {
    doubled += (loop[i]! - ox) * (loop[i + 3]! - oy) - (loop[i + 2]! - ox) * (loop[i + 1]! - oy);
  }
  return doubled / 2;
}

export function polygonLength(loop: Float64Array): number {
  let length = 0;
  const n = loop.length;
  for (let i = 0; i < n; i += 2) {
    const j = (i + 2) % n;
    length += Math.hypot(loop[j]! - loop[i]!, loop[j + 1]! - loop[i + 1]!);
  }
  return length;
}

/** Whether a point lies inside a set of loops, by the even-odd rule. */
export function isInside(loops: readonly Float64Array[], x: number, y: number): boolean {
  let inside = false;
  for (const loop of loops) {
    const n = loop.length;
    for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
      const yi = loop[i + 1]!;
      const yj = loop[j + 1]!;
      if (yi > y !== yj > y && x < ((loop[j]! - loop[i]!) * (y - yi)) / (yj - yi) + loop[i]!) inside = !inside;
    }
  }
  return inside;
}

/** The convex hull of points (Andrew's monotone chain, 1979), counter-clockwise, collinear points left out. */
export function convexHull(xs: Float64Array, ys: Float64Array): Float64Array {
  const order = outerPoints(xs, ys);
  order.sort((a, b) => xs[a]! - xs[b]! || ys[a]! - ys[b]!);
  const hull: number[] = [];
  const turn = (o: number, a: number, b: number) =>
    (xs[a]! - xs[o]!) * (ys[b]! - ys[o]!) - (ys[a]! - ys[o]!) * (xs[b]! - xs[o]!);
  const half = (points: Iterable<number>) => {
    const start = hull.length;
    for (const i of points) {
      while (hull.length >= start + 2 && turn(hull[hull.length - 2]!, hull[hull.length - 1]!, i) <= 0) hull.pop();
      hull.push(i);
    }
    hull.pop();
  };
  half(order);
  half(order.toReversed());
  const loop = new Float64Array(2 * hull.length);
  hull.forEach((i, k) => {
    loop[2 * k] = xs[i]!;
    loop[2 * k + 1] = ys[i]!;
  });
  return loop;
}

/** The point that reaches farthest in the direction (c, s). */
function farthest(xs: Float64Array, ys: Float64Array, c: number, s: number, step: number): number {
  let best = Number.NEGATIVE_INFINITY;
  let at = 0;
  for (let i = 0; i < xs.length; i += step) {
    const reach = c * xs[i]! + s * ys[i]!;
    if (reach > best) {
      best = reach;
      at = i;
    }
  }
  return at;
}

/**
 * Leaves out the points that lie well inside the polygon of the extremes in 12 directions (after Akl, Toussaint 1978). Of
 * many points the extremes of a share will do: their polygon is hardly smaller, and no point outside it is left out.
 */
function outerPoints(xs: Float64Array, ys: Float64Array): Uint32Array {
  const n = xs.length;
  if (n < 1000) return Uint32Array.from({ length: n }, (_, i) => i);
  const directions = 12;
  const step = Math.max(1, Math.floor(n / 10_000));
  const at = new Uint32Array(directions);
  for (let d = 0; d < directions; d++) {
    const c = Math.cos((2 * Math.PI * d) / directions);
    const s = Math.sin((2 * Math.PI * d) / directions);
    at[d] = farthest(xs, ys, c, s, step);
  }
  const corners = [...at].filter((i, d) => i !== at[(d + 1) % directions]);
  if (corners.length < 3) return Uint32Array.from({ length: n }, (_, i) => i);
  const sides = new Float64Array(3 * corners.length);
  const circle = sidesAndCircle(xs, ys, corners, sides);
  const keep = new GrowingUint32();
  inBatches(n, (from, to) => keepOutside(xs, ys, sides, circle, from, to, keep));
  return keep.take();
}

/**
 * The sides of a convex polygon, counter-clockwise, as u, v, w with u x + v y + w over 0 inside (stride 3), and a circle
 * inside it: x, y, squared radius.
 */
function sidesAndCircle(
  xs: Float64Array,
  ys: Float64Array,
  corners: readonly number[],
  sides: Float64Array,
): Float64Array {
  const x = corners.reduce((sum, i) => sum + xs[i]!, 0) / corners.length;
  const y = corners.reduce((sum, i) => sum + ys[i]!, 0) / corners.length;
  let radius = Infinity;
  corners.forEach((a, k) => {
    const b = corners[(k + 1) % corners.length]!;
    const u = ys[a]! - ys[b]!;
    const v = xs[b]! - xs[a]!;
    // What lies on a side to the digit is kept: it may be a corner of the hull.
    const w = -(u * xs[a]! + v * ys[a]!) - 1e-12 * (Math.abs(u * xs[a]!) + Math.abs(v * ys[a]!));
    sides.set([u, v, w], 3 * k);
    radius = Math.min(radius, (u * x + v * y + w) / Math.hypot(u, v));
  });
  // A little smaller, so that rounding keeps no point out of the hull.
  return Float64Array.of(x, y, (0.99 * Math.max(0, radius)) ** 2);
}

/** Most points lie in the circle, which is asked first. */
function keepOutside(
  xs: Float64Array,
  ys: Float64Array,
  sides: Float64Array,
  circle: Float64Array,
  from: number,
  to: number,
  keep: GrowingUint32,
): void {
  const cx = circle[0]!;
  const cy = circle[1]!;
  const square = circle[2]!;
  for (let i = from; i < to; i++) {
    const x = xs[i]!;
    const y = ys[i]!;
    if ((x - cx) * (x - cx) + (y - cy) * (y - cy) < square) continue;
    let k = 0;
    while (k < sides.length && sides[k]! * x + sides[k + 1]! * y + sides[k + 2]! > 0) k += 3;
    if (k < sides.length) keep.push(i);
  }
}
