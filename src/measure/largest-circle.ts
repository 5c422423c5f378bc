import { CellQueue } from './cell-queue.js';
import type { RimIndex } from './rim-index.js';

export interface Circle {
  readonly centreMm: readonly [number, number];
  readonly diameterMm: number;
}

const mostCells = 20_000;

/**
 * The largest circle inside an outline with holes, to a relative precision: best first search over squares, a pole of
 * inaccessibility. A circle about any centre in a square is at most as large as the one about its middle, and half the
 * square's diagonal more.
 */
export function largestCircle(outline: RimIndex, precision = 0.005): Circle {
  const s = outline.segments;
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let k = 0; k < s.length; k += 4) {
    x0 = Math.min(x0, s[k]!);
    x1 = Math.max(x1, s[k]!);
    y0 = Math.min(y0, s[k + 1]!);
    y1 = Math.max(y1, s[k + 1]!);
  }
  const best = { x: 0, y: 0, radius: 0 };
  if (!(x1 > x0 && y1 > y0)) return { centreMm: [0, 0], diameterMm: 0 };
  const queue = new CellQueue();
  const consider = (x: number, y: number, half: number): void => {
    const distance = outline.distance(x, y);
    const radius = outline.isInside(x, y) ? distance : -distance;
    if (radius > best.radius) Object.assign(best, { x, y, radius });
    const bound = radius + half * Math.SQRT2;
    if (bound > best.radius * (1 + precision)) queue.push(x, y, 0, half, bound);
  };
  const start = Math.max(Math.min(x1 - x0, y1 - y0), Math.max(x1 - x0, y1 - y0) / 64) / 2;
  for (let x = x0 + start; x < x1 + start; x += 2 * start) {
    for (let y = y0 + start; y < y1 + start; y += 2 * start) consider(x, y, start);
  }
  for (let cells = 0; cells < mostCells && queue.pop(); cells++) {
    if (queue.bound <= best.radius * (1 + precision)) break;
    const { x, y, half } = queue;
    const h = half / 2;
    for (let k = 0; k < 4; k++) consider(x + (k & 1 ? h : -h), y + (k & 2 ? h : -h), h);
  }
  return { centreMm: [best.x, best.y], diameterMm: 2 * best.radius };
}
