import { contact, contactOn } from './tangent-ball.js';
import type { WallParts } from './wall-parts.js';

/** Contacts at least 120 degrees apart seen from the centre are at most 30 degrees off the normal seen from the wall. */
const cosFacing = Math.sqrt(3) / 2;
const sinFacing = 0.5;

/** A ball lies along a wall up to this angle between the wall and the ball's own surface: cosine of 5 degrees. */
const cosAlong = Math.cos(Math.PI / 36);

/** Square of the sine of the angle by which faces that count as lying in one plane may differ. */
const slack = 1e-12;

/**
 * Does the wall really stop the ball at the last contact? It must lie within 30 degrees of n seen from p. The ball must
 * lie along the wall there, nearly at least: in a tube or a ball it touches all round at once, and a normal that is a
 * little off decides where first. Or the contact is an edge or a corner that stands out into the body.
 */
export function stopsBall(
  parts: WallParts,
  triangle: number,
  nx: number,
  ny: number,
  nz: number,
  diameter: number,
): boolean {
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
  const { normals } = parts;
  const m = 3 * parts.tree.order[triangle]!;
  if (-(normals[m]! * gx + normals[m + 1]! * gy + normals[m + 2]! * gz) >= cosAlong * r) return true;
  return !reachesInto(parts, parts.tree.order[triangle]!, contactOn, gx, gy, gz);
}

/** Does any face at this corner or edge of a triangle run against the direction g? */
function reachesInto(parts: WallParts, triangle: number, on: number, gx: number, gy: number, gz: number): boolean {
  const { positions, triangles, starts, faces } = parts;
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
 * Infinity where no wall of a node can face p: turned away, or (its round hull) outside the cone of 30 degrees about n;
 * otherwise a guess which node to search first.
 */
export function facingKey(
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
