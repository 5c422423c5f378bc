import type { FillBody } from './fill-body.js';

/**
 * How the fill is spread in plan round its own middle: seven lengths in mm, which turn with the piece. With w = x + iy
 * from the middle and the depth as the weight, they are r = sqrt(mean |w|²), then the real and the imaginary part of
 * mean w² / r (turns twice as fast as the piece), of mean w |w|² / r² (turns with it) and of mean w³ / r² (three times as
 * fast). A mirror image has their conjugates. They are sums over the whole wall, so that noise hardly moves them.
 */
export type FillShape = readonly number[];

/** Six points and weights that integrate degree 4 exactly over a triangle (Dunavant 1985). */
const rule: readonly (readonly [number, number, number])[] = [
  [0.445948490915965, 0.10810301816807, 0.223381589678011],
  [0.091576213509771, 0.816847572980459, 0.109951743655322],
].flatMap(([a, b, weight]) => [[a!, a!, weight!] as const, [a!, b!, weight!] as const, [b!, a!, weight!] as const]);

export function fillShape({
  positions: p,
  triangles,
  wallTriangles,
}: Pick<FillBody, 'positions' | 'triangles' | 'wallTriangles'>): FillShape | null {
  // From a point of the body, so that a place far from the frame's origin costs no digits.
  const first = 3 * (triangles[0] ?? 0);
  const [ox, oy] = [p[first] ?? 0, p[first + 1] ?? 0];
  let [volume, sumX, sumY] = [0, 0, 0];
  const samples = (use: (x: number, y: number, weight: number) => void) => {
    for (let t = 0; t < 3 * wallTriangles; t += 3) {
      const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
      const [ax, ay] = [p[a]! - ox, p[a + 1]! - oy];
      const [ux, uy, vx, vy] = [p[b]! - ox - ax, p[b + 1]! - oy - ay, p[c]! - ox - ax, p[c + 1]! - oy - ay];
      // Seen from outside the body the wall runs the other way round than from above.
      const area = (uy * vx - ux * vy) / 2;
      for (const [s, r, weight] of rule) {
        const depth = -(p[a + 2]! + s * (p[b + 2]! - p[a + 2]!) + r * (p[c + 2]! - p[a + 2]!));
        use(ax + s * ux + r * vx, ay + s * uy + r * vy, area * depth * weight);
      }
    }
  };
  samples((x, y, weight) => {
    volume += weight;
    sumX += weight * x;
    sumY += weight * y;
  });
  if (!(volume > 0)) return null;
  const [mx, my] = [sumX / volume, sumY / volume];
  let spread = 0;
  const sums = [0, 0, 0, 0, 0, 0];
  samples((px, py, weight) => {
    const [x, y] = [px - mx, py - my];
    const squared = x * x + y * y;
    spread += weight * squared;
    const terms = [
      ...[x * x - y * y, 2 * x * y, x * squared, y * squared],
      ...[x * (x * x - 3 * y * y), y * (3 * x * x - y * y)],
    ];
    for (let k = 0; k < 6; k++) sums[k]! += weight * terms[k]!;
  });
  if (!(spread > 0)) return null;
  const r = Math.sqrt(spread / volume);
  return [r, ...sums.map((sum, k) => sum / volume / (k < 2 ? r : r * r))];
}

/** How fast each pair of numbers turns with the piece. */
const speeds = [2, 1, 3] as const;

/** The shape of the piece turned by an angle in radians, counter-clockwise seen from above. */
export function turnedShape(shape: FillShape, angle: number): FillShape {
  const turned = [shape[0]!];
  speeds.forEach((speed, k) => {
    const [c, s] = [Math.cos(speed * angle), Math.sin(speed * angle)];
    const [x, y] = [shape[2 * k + 1]!, shape[2 * k + 2]!];
    turned.push(c * x - s * y, s * x + c * y);
  });
  return turned;
}

/** The shape of the mirror image, mirrored in x. */
export function mirroredShape(shape: FillShape): FillShape {
  // w becomes -conj(w): w² its conjugate, the odd powers their negative conjugates.
  return shape.map((value, i) => (i === 2 || i === 3 || i === 5 ? -value : value));
}
