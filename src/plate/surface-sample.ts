import { inBatches } from '../base/batches.js';
import { seededRandom } from '../base/random.js';
import { triangleNormal } from '../mesh/triangle-area.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** Points spread evenly by area over a surface, with the unit normals of their triangles. */
export interface SurfaceSample {
  readonly count: number;
  /** x, y, z: stride 3. */
  readonly points: Float64Array;
  readonly normals: Float64Array;
  readonly totalArea: number;
  /** Length of the sum of the triangles' vector areas: nothing on a closed surface, the opening's area on an open one. */
  readonly openArea: number;
}

/** The area of some triangles, and the length of the sum of their vector areas, mm². */
export function vectorAndArea(mesh: TriangleMesh, own: Iterable<number>): { totalArea: number; openArea: number } {
  const normal = new Float64Array(3);
  let totalArea = 0;
  let [openX, openY, openZ] = [0, 0, 0];
  for (const t of own) {
    totalArea += triangleNormal(mesh, t, normal);
    openX += normal[0]!;
    openY += normal[1]!;
    openZ += normal[2]!;
  }
  return { totalArea, openArea: Math.hypot(openX, openY, openZ) / 2 };
}

/** The area swept is kept at the beginning of every so many triangles, so that those without a sample are passed over. */
const blockTriangles = 64;

/** Draws about `wanted` points, one for each equal share of the area, at a random place inside its triangle. */
export function sampleSurface(mesh: TriangleMesh, wanted: number): SurfaceSample {
  const { positions, triangles } = mesh;
  const count = triangles.length / 3;
  const normal = new Float64Array(3);
  // Before each block, and behind the last one.
  const sweptBefore = new Float64Array(Math.ceil(count / blockTriangles) + 1);
  const sums = new Float64Array(4);
  inBatches(count, (from, to) => addAreas(mesh, from, to, sums, sweptBefore));
  const totalArea = sums[0]!;
  sweptBefore[sweptBefore.length - 1] = totalArea;
  const openArea = Math.hypot(sums[1]!, sums[2]!, sums[3]!) / 2;
  const areaEach = totalArea / wanted;
  const points = new Float64Array(3 * wanted);
  const normals = new Float64Array(3 * wanted);
  const random = seededRandom(20261);
  let taken = 0;
  let next = areaEach * random();
  for (let block = 0; block + 1 < sweptBefore.length && taken < wanted; block++) {
    if (next >= sweptBefore[block + 1]!) continue;
    let swept = sweptBefore[block]!;
    const end = Math.min(count, (block + 1) * blockTriangles);
    for (let t = block * blockTriangles; t < end && taken < wanted; t++) {
      const area = triangleNormal(mesh, t, normal);
      swept += area;
      while (next < swept && taken < wanted) {
        const root = Math.sqrt(random());
        const v = random();
        const weights = [1 - root, root * (1 - v), root * v];
        for (let k = 0; k < 3; k++) {
          let value = 0;
          for (let corner = 0; corner < 3; corner++) {
            value += weights[corner]! * positions[3 * triangles[3 * t + corner]! + k]!;
          }
          points[3 * taken + k] = value;
          normals[3 * taken + k] = normal[k]! / (2 * area);
        }
        taken++;
        next += areaEach;
      }
    }
  }
  return {
    count: taken,
    points: points.subarray(0, 3 * taken),
    normals: normals.subarray(0, 3 * taken),
    totalArea,
    openArea,
  };
}

/** Adds the areas and the vector areas of some triangles to four sums, and keeps the area before each block. */
function addAreas(
  { positions: p, triangles }: TriangleMesh,
  from: number,
  to: number,
  sums: Float64Array,
  sweptBefore: Float64Array,
): void {
  let area = sums[0]!;
  let x = sums[1]!;
  let y = sums[2]!;
  let z = sums[3]!;
  for (let t = from; t < to; t++) {
    if (t % blockTriangles === 0) sweptBefore[t / blockTriangles] = area;
    const a = 3 * triangles[3 * t]!;
    const b = 3 * triangles[3 * t + 1]!;
    const c = 3 * triangles[3 * t + 2]!;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    area += Math.sqrt(nx * nx + ny * ny + nz * nz) / 2;
    x += nx;
    y += ny;
    z += nz;
  }
  sums[0] = area;
  sums[1] = x;
  sums[2] = y;
  sums[3] = z;
}
