/**
 * The ball that touches a wall at p (unit normal n on the side of the ball) and passes through a point q has the
 * diameter |v|²/(n·v) with v = q - p. The sets |v|² <= D n·v are balls, so over a triangle there is one smallest such
 * ball, in closed form: it touches the triangle's plane, or else one of its edges or corners.
 */

/** Nearer to the plane of a triangle than this (mm), p counts as lying in it. */
const inPlane = 1e-9;

/** Where the last smaller ball touches: v = q - p. */
export const contact = new Float64Array(3);

/** Corners of the triangle, seen from p, while it is worked on. */
const corner = new Float64Array(9);

/** Where on the triangle it touches: bits 1, 2, 4 for the corners that span the place (7 the face, 3 the first edge). */
export let contactOn = 0;

/**
 * Diameter of the smallest ball tangent at p that passes through a point of one triangle. Triangles that show p their
 * back are passed over.
 *
 * @param t corners of triangles, nine numbers each, counter-clockwise seen from outside the body
 * @param o offset of the triangle in `t`
 * @param atMost diameters from here on are of no interest
 * @returns the diameter, its contact left in `contact` and `contactOn`; or `atMost` where there is none smaller
 */
export function ballAtTriangle(
  t: Float64Array,
  o: number,
  px: number,
  py: number,
  pz: number,
  nx: number,
  ny: number,
  nz: number,
  atMost: number,
): number {
  const ax = t[o]! - px;
  const ay = t[o + 1]! - py;
  const az = t[o + 2]! - pz;
  const bx = t[o + 3]! - px;
  const by = t[o + 4]! - py;
  const bz = t[o + 5]! - pz;
  const cx = t[o + 6]! - px;
  const cy = t[o + 7]! - py;
  const cz = t[o + 8]! - pz;

  // Outward normal of the triangle, and the distance of its plane from p.
  let mx = (by - ay) * (cz - az) - (bz - az) * (cy - ay);
  let my = (bz - az) * (cx - ax) - (bx - ax) * (cz - az);
  let mz = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
  const length = Math.sqrt(mx * mx + my * my + mz * mz);
  if (length === 0) return atMost;
  mx /= length;
  my /= length;
  mz /= length;
  const plane = mx * ax + my * ay + mz * az;
  if (plane <= inPlane) return atMost;
  const diameter = (2 * plane) / (1 + mx * nx + my * ny + mz * nz);
  if (!(diameter < atMost)) return atMost;

  // The ball of this size touches the plane in v. Is that inside the triangle?
  const vx = (diameter / 2) * (nx + mx);
  const vy = (diameter / 2) * (ny + my);
  const vz = (diameter / 2) * (nz + mz);
  if (
    side(ax, ay, az, bx, by, bz, vx, vy, vz, mx, my, mz) >= 0 &&
    side(bx, by, bz, cx, cy, cz, vx, vy, vz, mx, my, mz) >= 0 &&
    side(cx, cy, cz, ax, ay, az, vx, vy, vz, mx, my, mz) >= 0
  ) {
    contact[0] = vx;
    contact[1] = vy;
    contact[2] = vz;
    contactOn = 7;
    return diameter;
  }
  corner[0] = ax;
  corner[1] = ay;
  corner[2] = az;
  corner[3] = bx;
  corner[4] = by;
  corner[5] = bz;
  corner[6] = cx;
  corner[7] = cy;
  corner[8] = cz;
  const ab = ballAtEdge(0, 3, nx, ny, nz, atMost);
  const bc = ballAtEdge(3, 6, nx, ny, nz, ab);
  return ballAtEdge(6, 0, nx, ny, nz, bc);
}

/** On which side of the edge a-b the point v lies, within the plane of normal m. */
function side(
  ax: number,
  ay: number,
  az: number,
  bx: number,
  by: number,
  bz: number,
  vx: number,
  vy: number,
  vz: number,
  mx: number,
  my: number,
  mz: number,
): number {
  const ex = bx - ax;
  const ey = by - ay;
  const ez = bz - az;
  const wx = vx - ax;
  const wy = vy - ay;
  const wz = vz - az;
  return mx * (ey * wz - ez * wy) + my * (ez * wx - ex * wz) + mz * (ex * wy - ey * wx);
}

/** The same over the edge between two of the corners. */
function ballAtEdge(a: number, b: number, nx: number, ny: number, nz: number, atMost: number): number {
  const ax = corner[a]!;
  const ay = corner[a + 1]!;
  const az = corner[a + 2]!;
  const ex = corner[b]! - ax;
  const ey = corner[b + 1]! - ay;
  const ez = corner[b + 2]! - az;
  const na = nx * ax + ny * ay + nz * az;
  const ne = nx * ex + ny * ey + nz * ez;
  if (na <= 0 && na + ne <= 0) return atMost;
  const aa = ax * ax + ay * ay + az * az;
  const ae = ax * ex + ay * ey + az * ez;
  const ee = ex * ex + ey * ey + ez * ez;
  if (ee === 0) return atMost;

  // Where the derivative of |a + s e|² / (n·(a + s e)) is zero on the side in front of p.
  const slope = (2 * ae * na - aa * ne) / ee;
  const root = Math.sqrt(Math.max(0, na * na - ne * slope));
  let s = root + na > 0 ? -slope / (root + na) : (root - na) / ne;
  s = s > 0 ? Math.min(s, 1) : 0;
  const front = na + s * ne;
  const diameter = (aa + s * (2 * ae + s * ee)) / front;
  if (!(front > 0 && diameter < atMost)) return atMost;
  contact[0] = ax + s * ex;
  contact[1] = ay + s * ey;
  contact[2] = az + s * ez;
  contactOn = s === 0 ? 1 << (a / 3) : s === 1 ? 1 << (b / 3) : (1 << (a / 3)) | (1 << (b / 3));
  return diameter;
}
