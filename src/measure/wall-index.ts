import { closest, toBox, toTriangle } from './closest-point.js';
import { facingKey, stopsBall } from './facing-wall.js';
import { ballAtTriangle } from './tangent-ball.js';
import { ceilingOver, windingAt } from './wall-crossings.js';
import type { WallParts } from './wall-parts.js';

const stack = new Uint32Array(128);
const keys = new Float64Array(128);

/**
 * A ball that is smaller by less than this share is not searched for: in a round body nearly all wall is equally far,
 * and would be looked through for the last digits. Where that is not enough, the share grows after many visits of nodes.
 */
const share = 5e-4;
const coarserShare = 5e-3;
const manyVisits = 200;

/**
 * Questions to the wall of a fill body: what is nearest, how large a ball fits, is a point inside. Queries allocate
 * nothing; those that find a point leave it in the `found` fields.
 */
export class WallIndex {
  foundX = 0;
  foundY = 0;
  foundZ = 0;
  /** Number of the triangle in the mesh. */
  foundTriangle = -1;
  /** The triangle that stopped the last ball: the next one, asked for near by, often ends there too. */
  private lastStop = 0;
  private lastNearest = 0;

  /** Over arrays that were built before, perhaps by another thread. */
  constructor(readonly parts: WallParts) {}

  /** Forgets the last answers, so that the next does not depend on what was asked before. */
  forget(): void {
    this.lastStop = 0;
    this.lastNearest = 0;
  }

  /** Wall triangles in an order in which neighbours in space follow each other. */
  get order(): Uint32Array {
    return this.parts.tree.order;
  }

  /**
   * Distance to the nearest point of the wall, or Infinity where none is nearer than `within`.
   * @param shareOff by how large a share the distance may be too long, to save looking through what is equally far
   */
  nearest(x: number, y: number, z: number, within = Infinity, shareOff = 0): number {
    const { boxes, links, counts, corners, order } = this.parts.tree;
    const near = (1 - shareOff) ** 2;
    let best = within * within;
    let found = -1;
    if (order.length === 0) return Infinity;
    const hint = toTriangle(corners, 9 * this.lastNearest, x, y, z, best);
    if (hint < best) {
      best = hint;
      found = this.lastNearest;
    }
    let top = 0;
    stack[0] = 0;
    keys[0] = 0;
    while (top >= 0) {
      const node = stack[top]!;
      if (keys[top--]! >= best * near) continue;
      const count = counts[node]!;
      if (count > 0) {
        const first = links[node]!;
        for (let i = first; i < first + count; i++) {
          const square = toTriangle(corners, 9 * i, x, y, z, best);
          if (square < best) {
            best = square;
            found = i;
          }
        }
        continue;
      }
      const a = node + 1;
      const b = links[node]!;
      const toA = toBox(boxes, 6 * a, x, y, z);
      const toB = toBox(boxes, 6 * b, x, y, z);
      const nearFirst = toA < toB;
      stack[++top] = nearFirst ? b : a;
      keys[top] = nearFirst ? toB : toA;
      stack[++top] = nearFirst ? a : b;
      keys[top] = nearFirst ? toA : toB;
    }
    if (found < 0) return Infinity;
    this.lastNearest = found;
    this.foundTriangle = order[found]!;
    this.foundX = closest[0]!;
    this.foundY = closest[1]!;
    this.foundZ = closest[2]!;
    return Math.sqrt(best);
  }

  /**
   * Diameter of the largest ball that touches p on the side of the unit normal n, at most `atMost`, stopped by the
   * first wall in its way.
   */
  ballToFirstWall(px: number, py: number, pz: number, nx: number, ny: number, nz: number, atMost: number): number {
    const { boxes, links, counts, corners } = this.parts.tree;
    let best = atMost;
    let top = 0;
    stack[0] = 0;
    while (top >= 0) {
      const node = stack[top--]!;
      const r = best / 2;
      if (!(toBox(boxes, 6 * node, px + r * nx, py + r * ny, pz + r * nz) < r * r)) continue;
      const count = counts[node]!;
      if (count > 0) {
        const first = 9 * links[node]!;
        for (let o = first; o < first + 9 * count; o += 9) {
          best = ballAtTriangle(corners, o, px, py, pz, nx, ny, nz, best);
        }
        continue;
      }
      const a = node + 1;
      const b = links[node]!;
      const aFirst = toBox(boxes, 6 * a, px, py, pz) < toBox(boxes, 6 * b, px, py, pz);
      stack[++top] = aFirst ? b : a;
      stack[++top] = aFirst ? a : b;
    }
    return best;
  }

  /**
   * The same, stopped only by wall that faces p: growing, the ball comes to touch it, and the two contacts are at least
   * 120 degrees apart seen from the centre. Wall that it touched at a smaller angle (the side of a corner, the flank of
   * a groove) it grows through. Leaves the stopping triangle in `foundTriangle`, -1 where none stops it.
   */
  ballToFacingWall(px: number, py: number, pz: number, nx: number, ny: number, nz: number, atMost: number): number {
    const { boxes, links, counts, corners, order } = this.parts.tree;
    const { cones } = this.parts;
    if (counts.length === 0) return atMost;
    let best = atMost;
    let stop = this.lastStop;
    let diameter = ballAtTriangle(corners, 9 * stop, px, py, pz, nx, ny, nz, best);
    if (diameter < best && stopsBall(this.parts, stop, nx, ny, nz, diameter)) best = diameter;
    let visits = 0;
    let top = 0;
    stack[0] = 0;
    while (top >= 0) {
      const node = stack[top--]!;
      const r = ((1 - (visits++ < manyVisits ? share : coarserShare)) * best) / 2;
      const cx = px + r * nx;
      const cy = py + r * ny;
      const cz = pz + r * nz;
      if (!(toBox(boxes, 6 * node, cx, cy, cz) < r * r)) continue;
      const c = 5 * node;
      if (cones[c]! * cx + cones[c + 1]! * cy + cones[c + 2]! * cz + r <= cones[c + 4]!) continue;
      const count = counts[node]!;
      if (count > 0) {
        const first = links[node]!;
        for (let i = first; i < first + count; i++) {
          diameter = ballAtTriangle(corners, 9 * i, px, py, pz, nx, ny, nz, best);
          if (diameter < best && stopsBall(this.parts, i, nx, ny, nz, diameter)) {
            best = diameter;
            stop = i;
          }
        }
        continue;
      }
      const a = node + 1;
      const b = links[node]!;
      const keyA = facingKey(boxes, cones, a, px, py, pz, nx, ny, nz);
      const keyB = facingKey(boxes, cones, b, px, py, pz, nx, ny, nz);
      if (keyA < keyB) {
        if (keyB < Infinity) stack[++top] = b;
        stack[++top] = a;
      } else {
        if (keyA < Infinity) stack[++top] = a;
        if (keyB < Infinity) stack[++top] = b;
      }
    }
    this.lastStop = stop;
    this.foundTriangle = best < atMost ? order[stop]! : -1;
    return best;
  }

  /**
   * How often the wall winds round the point: 1 inside the body, 0 outside. Counts the crossings of a ray straight
   * down, so the open top does not matter.
   */
  winding(x: number, y: number, z: number): number {
    return windingAt(this.parts.tree, x, y, z);
  }

  /** Height of the lowest wall straight above a point, Infinity where there is none. */
  ceiling(x: number, y: number, z: number): number {
    return ceilingOver(this.parts.tree, x, y, z);
  }
}
