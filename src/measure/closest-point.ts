/** The closest point that was found last. */
export const closest = new Float64Array(3);

/**
 * Square of the distance from a point to a triangle (Ericson 2005, Real-Time Collision Detection, 5.1.5); leaves the closest
 * point in `closest` where it is nearer than best.
 */
export function toTriangle(t: Float64Array, o: number, x: number, y: number, z: number, best: number): number {
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
    closest[0] = x + dx;
    closest[1] = y + dy;
    closest[2] = z + dz;
  }
  return square;
}

/** Square of the distance from a point to a box. */
export function toBox(boxes: Float64Array, o: number, x: number, y: number, z: number): number {
  const dx = x < boxes[o]! ? boxes[o]! - x : x > boxes[o + 3]! ? x - boxes[o + 3]! : 0;
  const dy = y < boxes[o + 1]! ? boxes[o + 1]! - y : y > boxes[o + 4]! ? y - boxes[o + 4]! : 0;
  const dz = z < boxes[o + 2]! ? boxes[o + 2]! - z : z > boxes[o + 5]! ? z - boxes[o + 5]! : 0;
  return dx * dx + dy * dy + dz * dz;
}
