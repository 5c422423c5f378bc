import { seededRandom } from '../base/random.js';
import { blockTriangles, type FaceSums, faceSums, type LargeFaces } from '../mesh/face-sums.js';
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
  readonly large: LargeFaces;
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

/**
 * Draws about `wanted` points, one for each equal share of the area, at a random place inside its triangle.
 * @param faces of the mesh
 */
export function sampleSurface(
  mesh: TriangleMesh,
  wanted: number,
  { area: totalArea, areaBefore, openArea, large }: FaceSums = faceSums(mesh),
): SurfaceSample {
  const { positions, triangles } = mesh;
  const count = triangles.length / 3;
  const normal = new Float64Array(3);
  const areaEach = totalArea / wanted;
  const points = new Float64Array(3 * wanted);
  const normals = new Float64Array(3 * wanted);
  const random = seededRandom(20261);
  let taken = 0;
  let next = areaEach * random();
  // Blocks without a sample are passed over.
  for (let block = 0; block + 1 < areaBefore.length && taken < wanted; block++) {
    if (next >= areaBefore[block + 1]!) continue;
    let swept = areaBefore[block]!;
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
    large,
  };
}
