/**
 * The plane of the land, z = slopeX x + slopeY y + height, by least squares over the land's triangles weighted by their
 * area. Fitted in rounds: each round keeps the triangles that lie within a band round the last plane and narrows the band
 * to three robust standard deviations, so that walls, keys and dam walls drop out. On a noisy surface that is not
 * enough, since shallow feathers stay inside the band and pull the plane down: the caller then masks the cavities out
 * and calls again.
 */
import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** As many triangles give a plane to a hundredth of their noise. */
const fewTriangles = 60_000;

export interface LandPlane {
  readonly slopeX: number;
  readonly slopeY: number;
  readonly height: number;
  /** Robust standard deviation (1.4826 x median absolute deviation, by area) of the land's vertices from the plane. */
  readonly sigma: number;
  /** Area of the triangles the last round used. */
  readonly area: number;
  /** Area of all triangles within the first round's band: where `area` is a small part of it, the land is no plane. */
  readonly wideArea: number;
}

/** z = 0: where a mesh lies about in its frame already. */
export const levelPlane = { slopeX: 0, slopeY: 0, height: 0 } as const;

/**
 * @param start the plane to start from
 * @param startBand half-width of the first round's band
 * @param floorBand half-width under which the band is not narrowed: the figure the coordinates hold
 * @param isLand per vertex: 0 where it is known not to be land; without it every vertex may be
 * @param large triangles that a share of all would miss: a land may be a few of them
 */
export function fitLand(
  mesh: TriangleMesh,
  start: { slopeX: number; slopeY: number; height: number },
  startBand: number,
  floorBand: number,
  isLand?: Uint8Array,
  large?: Uint32Array,
): LandPlane | null {
  let plane = start;
  let band = startBand;
  let sigma = 0;
  let area = 0;
  let wideArea = 0;
  const corners = mesh.triangles.length;
  // The first rounds look at a share of a large mesh; the last ones at all of it.
  let step = 3 * Math.max(1, Math.floor(corners / 3 / fewTriangles));
  for (let round = 0; round < 24; round++) {
    const sums = new Float64Array(11);
    const spread = new Spread();
    // As numbers of one kind: of a plane that begins with whole numbers the compiled code would not do for the next.
    const about = Float64Array.of(plane.slopeX, plane.slopeY, plane.height, band, startBand);
    inBatches(corners, (from, to) => sumTriangles(mesh, null, from, to, step, about, isLand, sums, spread), step);
    if (step > 3 && large !== undefined) {
      inBatches(large.length, (from, to) => sumTriangles(mesh, large, from, to, 1, about, isLand, sums, spread));
    }
    area = sums[9]!;
    wideArea = sums[10]!;
    const change = area === 0 ? null : solvePlane(sums);
    if (change === null) {
      if (step === 3) return null;
      // A land of few triangles may have none in a share: from the beginning, with all.
      step = 3;
      plane = start;
      band = startBand;
      round = -1;
      continue;
    }
    plane = {
      slopeX: plane.slopeX + change.slopeX,
      slopeY: plane.slopeY + change.slopeY,
      height: plane.height + change.height,
    };
    sigma = 1.4826 * spread.median();
    // The residuals are those of the last plane: a band narrower than what the plane has just moved would lose the land.
    const narrower = Math.max(floorBand, Math.min(band, Math.max(3 * sigma, 2 * change.moved)));
    const settled = narrower > band * 0.98 && Math.abs(change.height) < floorBand * 0.05;
    band = narrower;
    if (!settled || round < 2) continue;
    if (step === 3) break;
    step = 3;
    // What the share has settled, all triangles only have to confirm.
    round = 1;
  }
  return { ...plane, sigma, area, wideArea };
}

/**
 * Adds every so many of some triangles, with corners `from` to `to`: to the sums for the fit, the area and the wide area.
 * @param own the triangles' numbers, at places `from` to `to`; null: all triangles
 * @param about slope along x and y and height of the plane, the band, the first round's band
 */
function sumTriangles(
  { positions: p, triangles }: TriangleMesh,
  own: Uint32Array | null,
  from: number,
  to: number,
  step: number,
  about: Float64Array,
  isLand: Uint8Array | undefined,
  sums: Float64Array,
  spread: Spread,
): void {
  const slopeX = about[0]!;
  const slopeY = about[1]!;
  const height = about[2]!;
  const band = about[3]!;
  const startBand = about[4]!;
  for (let i = from; i < to; i += step) {
    const t = own === null ? i : 3 * own[i]!;
    const va = triangles[t]!;
    const vb = triangles[t + 1]!;
    const vc = triangles[t + 2]!;
    if (isLand !== undefined && (isLand[va] === 0 || isLand[vb] === 0 || isLand[vc] === 0)) continue;
    const a = 3 * va;
    const b = 3 * vb;
    const c = 3 * vc;
    const ra = p[a + 2]! - (slopeX * p[a]! + slopeY * p[a + 1]! + height);
    const rb = p[b + 2]! - (slopeX * p[b]! + slopeY * p[b + 1]! + height);
    const rc = p[c + 2]! - (slopeX * p[c]! + slopeY * p[c + 1]! + height);
    const farthest = Math.max(Math.abs(ra), Math.abs(rb), Math.abs(rc));
    if (!(farthest <= startBand)) continue;
    const projected = ((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!)) / 2;
    if (projected <= 0) continue; // faces down or is seen edge-on
    sums[10]! += projected;
    if (farthest > band) continue;
    sums[9]! += projected;
    const w = projected / 3;
    spread.add(ra, w);
    spread.add(rb, w);
    spread.add(rc, w);
    // The middles of the sides: exact for quadratics, so that even a land of two triangles gives its plane.
    accumulate(sums, (p[a]! + p[b]!) / 2, (p[a + 1]! + p[b + 1]!) / 2, (ra + rb) / 2, w);
    accumulate(sums, (p[b]! + p[c]!) / 2, (p[b + 1]! + p[c + 1]!) / 2, (rb + rc) / 2, w);
    accumulate(sums, (p[c]! + p[a]!) / 2, (p[c + 1]! + p[a + 1]!) / 2, (rc + ra) / 2, w);
  }
}

/** Sums of w, wx, wy, wxx, wxy, wyy, wz, wxz, wyz. */
function accumulate(sums: Float64Array, x: number, y: number, z: number, w: number): void {
  sums[0]! += w;
  sums[1]! += w * x;
  sums[2]! += w * y;
  sums[3]! += w * x * x;
  sums[4]! += w * x * y;
  sums[5]! += w * y * y;
  sums[6]! += w * z;
  sums[7]! += w * x * z;
  sums[8]! += w * y * z;
}

/** The change of the plane; `moved`: how far it goes at most over about the extent of the land (1.75 sigma: a rectangle). */
function solvePlane(sums: Float64Array): { slopeX: number; slopeY: number; height: number; moved: number } | null {
  const [n, x, y, xx, xy, yy, z, xz, yz] = sums as unknown as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const cxx = xx - (x * x) / n;
  const cxy = xy - (x * y) / n;
  const cyy = yy - (y * y) / n;
  const cxz = xz - (x * z) / n;
  const cyz = yz - (y * z) / n;
  const det = cxx * cyy - cxy * cxy;
  if (!(Math.abs(det) > 1e-12 * cxx * cyy)) return null;
  const slopeX = (cxz * cyy - cyz * cxy) / det;
  const slopeY = (cyz * cxx - cxz * cxy) / det;
  const tilt = 1.75 * (Math.abs(slopeX) * Math.sqrt(cxx / n) + Math.abs(slopeY) * Math.sqrt(cyy / n));
  return { slopeX, slopeY, height: (z - slopeX * x - slopeY * y) / n, moved: Math.abs(z / n) + tilt };
}

/** A float32 and its own bits. */
const float = new Float32Array(1);
const floatBits = new Uint32Array(float.buffer);

/**
 * A weighted median of absolute values over a histogram without a copy of the values. The bin is the value's own float32
 * exponent and first six bits of mantissa: steps of 1.6 % at most, and no logarithm.
 */
class Spread {
  private readonly bins = new Float64Array(1 << 14);
  private total = 0;

  add(value: number, weight: number): void {
    float[0] = Math.abs(value);
    this.bins[floatBits[0]! >>> 17]! += weight;
    this.total += weight;
  }

  median(): number {
    let sum = 0;
    for (let bin = 0; bin < this.bins.length; bin++) {
      sum += this.bins[bin]!;
      if (sum * 2 < this.total) continue;
      if (bin === 0) return 0;
      floatBits[0] = (bin << 17) | (1 << 16);
      return float[0]!;
    }
    return 0;
  }
}
