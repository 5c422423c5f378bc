import { ballAtTriangle, contact, contactOn } from './tangent-ball.js';
import type { TriangleTree } from './triangle-tree.js';
import type { FacesRound } from './wall-normals.js';

const stack = new Uint32Array(128);
const keys = new Float64Array(128);

/** Contacts at least 120 degrees apart seen from the centre are at most 30 degrees off the normal seen from the wall. */
const cosFacing = Math.sqrt(3) / 2;
const sinFacing = 0.5;

/**
 * A ball that is smaller by less than this share is not searched for: in a round body nearly all wall is equally far,
 * and would be looked through for the last digits. Where that is not enough, the share grows after many visits of nodes.
 */
const share = 5e-4;
const coarserShare = 5e-3;
const manyVisits = 200;

/** A ball lies along a wall up to this angle between the wall and the ball's own surface: cosine of 5 degrees. */
const cosAlong = Math.cos(Math.PI / 36);

/** Square of the sine of the angle by which faces that count as lying in one plane may differ. */
const slack = 1e-12;

/** What a wall index is made of: flat arrays, which threads can share. */
export interface WallParts extends FacesRound {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly tree: TriangleTree;
  /** As `FacingCones` says; only balls that facing wall stops ask for them. */
  readonly cones: Float64Array;
  /** Inward unit normals of the wall triangles. */
  readonly normals: Float64Array;
}

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
    const hint = this.toTriangle(corners, 9 * this.lastNearest, x, y, z, best);
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
          const square = this.toTriangle(corners, 9 * i, x, y, z, best);
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
    if (diameter < best && this.stops(stop, nx, ny, nz, diameter)) best = diameter;
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
          if (diameter < best && this.stops(i, nx, ny, nz, diameter)) {
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
   * Does the wall really stop the ball at the last contact? It must lie within 30 degrees of n seen from p. The ball must
   * lie along the wall there, nearly at least: in a tube or a ball it touches all round at once, and a normal that is a
   * little off decides where first. Or the contact is an edge or a corner that stands out into the body.
   */
  private stops(triangle: number, nx: number, ny: number, nz: number, diameter: number): boolean {
    const vx = contact[0]!;
    const vy = contact[1]!;
    const vz = contact[2]!;
    const front = vx * nx + vy * ny + vz * nz;
    if (front < cosFacing * (1 - 1e-9) * Math.sqrt(vx * vx + vy * vy + vz * vz)) return false;
    if (contactOn === 7) return true;
    const r = diameter / 2;
    const gx = vx - r * nx;
    const gy = vy - r * ny;
    const gz = vz - r * nz;
    const { normals } = this.parts;
    const m = 3 * this.parts.tree.order[triangle]!;
    if (-(normals[m]! * gx + normals[m + 1]! * gy + normals[m + 2]! * gz) >= cosAlong * r) return true;
    return !this.reachesInto(this.parts.tree.order[triangle]!, contactOn, gx, gy, gz);
  }

  /** Does any face at this corner or edge of a triangle run against the direction g? */
  private reachesInto(triangle: number, on: number, gx: number, gy: number, gz: number): boolean {
    const { positions, triangles, starts, faces } = this.parts;
    const first = triangles[3 * triangle + (on & 1 ? 0 : on & 2 ? 1 : 2)]!;
    const last = triangles[3 * triangle + (on & 4 ? 2 : on & 2 ? 1 : 0)]!;
    const x = positions[3 * first]!;
    const y = positions[3 * first + 1]!;
    const z = positions[3 * first + 2]!;
    for (let k = starts[first]!; k < starts[first + 1]!; k++) {
      const f = 3 * faces[k]!;
      if (first !== last && triangles[f] !== last && triangles[f + 1] !== last && triangles[f + 2] !== last) continue;
      for (let corner = f; corner < f + 3; corner++) {
        const v = 3 * triangles[corner]!;
        if (v === 3 * first || (first !== last && v === 3 * last)) continue;
        const dx = positions[v]! - x;
        const dy = positions[v + 1]! - y;
        const dz = positions[v + 2]! - z;
        const along = dx * gx + dy * gy + dz * gz;
        if (along < 0 && along * along > slack * (dx * dx + dy * dy + dz * dz) * (gx * gx + gy * gy + gz * gz))
          return true;
      }
    }
    return false;
  }

  /**
   * How often the wall winds round the point: 1 inside the body, 0 outside. Counts the crossings of a ray straight
   * down, so the open top does not matter.
   */
  winding(x: number, y: number, z: number): number {
    const { boxes, links, counts, corners, order } = this.parts.tree;
    let winding = 0;
    let top = 0;
    stack[0] = 0;
    if (order.length === 0) return 0;
    while (top >= 0) {
      const node = stack[top--]!;
      const o = 6 * node;
      if (x < boxes[o]! || y < boxes[o + 1]! || boxes[o + 2]! > z || x > boxes[o + 3]! || y > boxes[o + 4]!) continue;
      const count = counts[node]!;
      if (count === 0) {
        stack[++top] = node + 1;
        stack[++top] = links[node]!;
        continue;
      }
      const first = 9 * links[node]!;
      for (let t = first; t < first + 9 * count; t += 9) {
        // Floors, that is faces turned down, count up; ceilings count down.
        if (crossing(corners, t, x, y) < z) winding += isTurnedDown(corners, t) ? 1 : -1;
      }
    }
    return winding;
  }

  /** Height of the lowest wall straight above a point, Infinity where there is none. */
  ceiling(x: number, y: number, z: number): number {
    const { boxes, links, counts, corners, order } = this.parts.tree;
    let lowest = Infinity;
    if (order.length === 0) return lowest;
    let top = 0;
    stack[0] = 0;
    while (top >= 0) {
      const node = stack[top--]!;
      const o = 6 * node;
      if (x < boxes[o]! || y < boxes[o + 1]! || x > boxes[o + 3]! || y > boxes[o + 4]!) continue;
      if (boxes[o + 5]! < z || boxes[o + 2]! > lowest) continue;
      const count = counts[node]!;
      if (count === 0) {
        stack[++top] = node + 1;
        stack[++top] = links[node]!;
        continue;
      }
      const first = 9 * links[node]!;
      for (let t = first; t < first + 9 * count; t += 9) {
        const height = crossing(corners, t, x, y);
        if (height > z && height < lowest) lowest = height;
      }
    }
    return lowest;
  }

  /** Closest point of a triangle (Ericson 2005, Real-Time Collision Detection, 5.1.5); keeps it if nearer than best. */
  private toTriangle(t: Float64Array, o: number, x: number, y: number, z: number, best: number): number {
    const ax = t[o]!;
    const ay = t[o + 1]!;
    const az = t[o + 2]!;
    const ux = t[o + 3]! - ax;
    const uy = t[o + 4]! - ay;
    const uz = t[o + 5]! - az;
    const vx = t[o + 6]! - ax;
    const vy = t[o + 7]! - ay;
    const vz = t[o + 8]! - az;
    const wx = x - ax;
    const wy = y - ay;
    const wz = z - az;
    const uu = ux * ux + uy * uy + uz * uz;
    const uv = ux * vx + uy * vy + uz * vz;
    const vv = vx * vx + vy * vy + vz * vz;
    const d1 = ux * wx + uy * wy + uz * wz;
    const d2 = vx * wx + vy * wy + vz * wz;
    let s = 0;
    let r = 0;
    const d3 = d1 - uu;
    const d4 = d2 - uv;
    const d5 = d1 - uv;
    const d6 = d2 - vv;
    const vc = d1 * d4 - d3 * d2;
    const vb = d5 * d2 - d1 * d6;
    const va = d3 * d6 - d5 * d4;
    if (d1 <= 0 && d2 <= 0) {
      // corner a
    } else if (d3 >= 0 && d4 <= d3) {
      s = 1;
    } else if (d6 >= 0 && d5 <= d6) {
      r = 1;
    } else if (vc <= 0 && d1 >= 0 && d3 <= 0) {
      s = d1 / (d1 - d3);
    } else if (vb <= 0 && d2 >= 0 && d6 <= 0) {
      r = d2 / (d2 - d6);
    } else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
      r = (d4 - d3) / (d4 - d3 + d5 - d6);
      s = 1 - r;
    } else {
      const sum = va + vb + vc;
      s = vb / sum;
      r = vc / sum;
    }
    const dx = s * ux + r * vx - wx;
    const dy = s * uy + r * vy - wy;
    const dz = s * uz + r * vz - wz;
    const square = dx * dx + dy * dy + dz * dz;
    if (square < best) {
      this.foundX = x + dx;
      this.foundY = y + dy;
      this.foundZ = z + dz;
    }
    return square;
  }
}

/** Square of the distance from a point to a box. */
function toBox(boxes: Float64Array, o: number, x: number, y: number, z: number): number {
  const dx = x < boxes[o]! ? boxes[o]! - x : x > boxes[o + 3]! ? x - boxes[o + 3]! : 0;
  const dy = y < boxes[o + 1]! ? boxes[o + 1]! - y : y > boxes[o + 4]! ? y - boxes[o + 4]! : 0;
  const dz = z < boxes[o + 2]! ? boxes[o + 2]! - z : z > boxes[o + 5]! ? z - boxes[o + 5]! : 0;
  return dx * dx + dy * dy + dz * dz;
}

/**
 * Infinity where no wall of a node can face p: turned away, or (its round hull) outside the cone of 30 degrees about n;
 * otherwise a guess which node to search first.
 */
function facingKey(
  boxes: Float64Array,
  cones: Float64Array,
  node: number,
  px: number,
  py: number,
  pz: number,
  nx: number,
  ny: number,
  nz: number,
): number {
  const c = 5 * node;
  if (cones[c]! * nx + cones[c + 1]! * ny + cones[c + 2]! * nz < cones[c + 3]!) return Infinity;
  const o = 6 * node;
  const hx = (boxes[o + 3]! - boxes[o]!) / 2;
  const hy = (boxes[o + 4]! - boxes[o + 1]!) / 2;
  const hz = (boxes[o + 5]! - boxes[o + 2]!) / 2;
  const x = boxes[o]! + hx - px;
  const y = boxes[o + 1]! + hy - py;
  const z = boxes[o + 2]! + hz - pz;
  const along = x * nx + y * ny + z * nz;
  const square = x * x + y * y + z * z;
  const hull = Math.sqrt(hx * hx + hy * hy + hz * hz);
  const room = hull + along * sinFacing;
  if (room < 0 || (square - along * along) * cosFacing * cosFacing > room * room) return Infinity;
  return square / (along + hull);
}

/** Height at which an upright line crosses a triangle, NaN where it does not. */
function crossing(t: Float64Array, o: number, x: number, y: number): number {
  const a = turn(t[o]!, t[o + 1]!, t[o + 3]!, t[o + 4]!, x, y);
  const b = turn(t[o + 3]!, t[o + 4]!, t[o + 6]!, t[o + 7]!, x, y);
  const c = turn(t[o + 6]!, t[o + 7]!, t[o]!, t[o + 1]!, x, y);
  if (a !== b || b !== c) return Number.NaN;
  const ux = t[o + 3]! - t[o]!;
  const uy = t[o + 4]! - t[o + 1]!;
  const vx = t[o + 6]! - t[o]!;
  const vy = t[o + 7]! - t[o + 1]!;
  const mz = ux * vy - uy * vx;
  if (mz === 0) return Number.NaN;
  const uz = t[o + 5]! - t[o + 2]!;
  const vz = t[o + 8]! - t[o + 2]!;
  return t[o + 2]! - ((uy * vz - uz * vy) * (x - t[o]!) + (uz * vx - ux * vz) * (y - t[o + 1]!)) / mz;
}

function isTurnedDown(t: Float64Array, o: number): boolean {
  return (t[o + 3]! - t[o]!) * (t[o + 7]! - t[o + 1]!) < (t[o + 4]! - t[o + 1]!) * (t[o + 6]! - t[o]!);
}

/**
 * Which side of the edge a-b the point lies on, +1 or -1; the same edge gives opposite answers from its two triangles,
 * also where the point lies on it, so a surface without holes is crossed exactly once.
 */
function turn(ax: number, ay: number, bx: number, by: number, x: number, y: number): number {
  const flip = ax > bx || (ax === bx && ay > by);
  const side = flip ? (ax - bx) * (y - by) - (ay - by) * (x - bx) : (bx - ax) * (y - ay) - (by - ay) * (x - ax);
  return side > 0 === flip ? -1 : 1;
}
