import { CellQueue } from './cell-queue.js';
import type { WallIndex } from './wall-index.js';

export interface Ball {
  readonly centreMm: readonly [number, number, number];
  readonly diameterMm: number;
}

/** The diameter is found to this relative precision, unless very many places are as good as the best. */
const precision = 0.002;

/** A wide flat body fits its largest ball nearly everywhere; the search then ends here with the best it has. */
const mostCells = 8000;

/**
 * The largest ball that fits into the fill body whose wall is given, under z = 0 and off the wall.
 *
 * Best first search over cubes, as for a polygon's pole of inaccessibility. A ball about any centre c in a cube ends at
 * the scrape surface and at the wall point q nearest to the cube's centre: its radius is at most min(-c.z, |c - q|).
 * Whenever a new best is found, small steps climb from it to the top near by.
 */
export function largestBall(wall: WallIndex): Ball {
  // The box of the whole wall.
  const [x0, y0, z0, x1, y1] = wall.parts.tree.boxes as unknown as [number, number, number, number, number];
  if (!(z0 < 0)) return { centreMm: [0, 0, 0], diameterMm: 0 };
  const start = Math.max(Math.min(x1 - x0, y1 - y0, -z0), Math.max(x1 - x0, y1 - y0) / 64) / 2;
  const queue = new CellQueue();
  const best = { x: 0, y: 0, z: 0, radius: 0 };

  const isInside = (x: number, y: number, z: number) => z < 0 && wall.winding(x, y, z) > 0;
  const radiusAt = (x: number, y: number, z: number): number =>
    isInside(x, y, z) ? Math.min(-z, wall.nearest(x, y, z, Infinity, precision / 10)) : 0;
  const consider = (x: number, y: number, z: number, half: number): void => {
    if (z - half >= 0) return;
    const distance = wall.nearest(x, y, z, Infinity, precision / 10);
    const bound = upperBound(wall.foundX, wall.foundY, wall.foundZ, x, y, z, half);
    if (bound <= best.radius * (1 + precision)) return;
    const radius = Math.min(-z, distance);
    const isCrossed = distance <= half * Math.sqrt(3);
    if (radius > best.radius || !isCrossed) {
      if (isInside(x, y, z)) {
        if (radius > best.radius) climb(best, x, y, z, radius, half, radiusAt);
      } else if (!isCrossed && z < -half) {
        // Deep outside the body: the cube holds nothing of it.
        return;
      }
    }
    queue.push(x, y, z, half, bound);
  };

  for (let x = x0 + start; x < x1 + start; x += 2 * start) {
    for (let y = y0 + start; y < y1 + start; y += 2 * start) {
      for (let z = -start; z > z0 - start; z -= 2 * start) consider(x, y, z, start);
    }
  }
  for (let cells = 0; cells < mostCells && queue.pop(); cells++) {
    if (queue.bound <= best.radius * (1 + precision)) break;
    const { x, y, z, half } = queue;
    const h = half / 2;
    for (let k = 0; k < 8; k++) consider(x + (k & 1 ? h : -h), y + (k & 2 ? h : -h), z + (k & 4 ? h : -h), h);
  }
  return { centreMm: [best.x, best.y, best.z], diameterMm: 2 * best.radius };
}

/** Largest radius that any ball centred in the cube can have, with wall at q. */
function upperBound(qx: number, qy: number, qz: number, x: number, y: number, z: number, half: number): number {
  const lx = Math.abs(x - qx) + half;
  const ly = Math.abs(y - qy) + half;
  const across = lx * lx + ly * ly;
  const up = z - qz;
  // Raised by d, the cube's point is -z - d under the scrape surface and at most sqrt((up + d)² + across) off the wall.
  const under = (d: number) => Math.min(-z - d, Math.sqrt((up + d) * (up + d) + across));
  const sum = up - z;
  const level = sum === 0 ? -half : (z * z - up * up - across) / (2 * sum);
  return Math.max(under(-half), under(half), Math.abs(level) < half ? under(level) : 0);
}

const steps: readonly (readonly [number, number, number])[] = [-1, 0, 1]
  .flatMap((x) => [-1, 0, 1].flatMap((y) => [-1, 0, 1].map((z) => [x, y, z] as const)))
  .filter(([x, y, z]) => x !== 0 || y !== 0 || z !== 0);

function climb(
  best: { x: number; y: number; z: number; radius: number },
  x: number,
  y: number,
  z: number,
  radius: number,
  half: number,
  radiusAt: (x: number, y: number, z: number) => number,
): void {
  Object.assign(best, { x, y, z, radius });
  for (let step = half; step > best.radius * precision * 0.1; ) {
    const { x: fromX, y: fromY, z: fromZ, radius: from } = best;
    for (const [dx, dy, dz] of steps) {
      const reached = radiusAt(fromX + dx * step, fromY + dy * step, fromZ + dz * step);
      if (reached > best.radius) {
        Object.assign(best, { x: fromX + dx * step, y: fromY + dy * step, z: fromZ + dz * step, radius: reached });
      }
    }
    if (best.radius === from) step /= 2;
  }
}
