import { inBatches } from '../base/batches.js';
import { planBox, type TriangleMesh } from '../mesh/triangle-mesh.js';

/** The land averaged over square cells in plan: what is left of its shape when the noise is taken out. */
export interface LandCells {
  readonly count: number;
  /** Weighted mean place and height per cell, mm. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  /** Land area per cell, mm². */
  readonly area: Float64Array;
}

/** Cells are left out under this share of land: their mean place is too far aside. */
const leastShare = 0.2;

/**
 * @param z height per vertex, mm
 * @param band triangles with a corner farther from z = 0 than this are not land
 * @param isLand per vertex: 0 where it is known not to be land
 */
export function landCells(
  mesh: TriangleMesh,
  z: Float64Array,
  band: number,
  isLand: Uint8Array | null,
  cellMm = 4,
): LandCells {
  const { x0, y0, x1, y1 } = planBox(mesh.positions, z.length);
  // A mesh far larger than any plate gets larger cells rather than more of them.
  const cell = Math.max(cellMm, (x1 - x0) / 2000, (y1 - y0) / 2000);
  const columns = Math.floor((x1 - x0) / cell) + 1;
  const rows = Math.floor((y1 - y0) / cell) + 1;
  // Sums of area, and of area times x, y and z.
  const sums = new Float64Array(4 * columns * rows);
  const grid = { x0, y0, cell, columns, sums };
  inBatches(mesh.triangles.length, (from, to) => addTriangles(mesh, z, band, isLand, from, to, grid), 3);
  const kept: number[] = [];
  for (let at = 0; at < sums.length; at += 4) if (sums[at]! >= leastShare * cell * cell) kept.push(at);
  return {
    count: kept.length,
    area: Float64Array.from(kept, (at) => sums[at]!),
    x: Float64Array.from(kept, (at) => sums[at + 1]! / sums[at]!),
    y: Float64Array.from(kept, (at) => sums[at + 2]! / sums[at]!),
    z: Float64Array.from(kept, (at) => sums[at + 3]! / sums[at]!),
  };
}

interface Grid {
  readonly x0: number;
  readonly y0: number;
  readonly cell: number;
  readonly columns: number;
  readonly sums: Float64Array;
}

/** Adds the land among the triangles with corners `from` to `to`. */
function addTriangles(
  { positions: p, triangles }: TriangleMesh,
  z: Float64Array,
  band: number,
  isLand: Uint8Array | null,
  from: number,
  to: number,
  grid: Grid,
): void {
  const { cell } = grid;
  for (let t = from; t < to; t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    if (isLand !== null && (isLand[a] === 0 || isLand[b] === 0 || isLand[c] === 0)) continue;
    if (!(Math.abs(z[a]!) <= band && Math.abs(z[b]!) <= band && Math.abs(z[c]!) <= band)) continue;
    const ax = p[3 * a]!;
    const ay = p[3 * a + 1]!;
    const ux = p[3 * b]! - ax;
    const uy = p[3 * b + 1]! - ay;
    const vx = p[3 * c]! - ax;
    const vy = p[3 * c + 1]! - ay;
    const area = (ux * vy - uy * vx) / 2;
    if (!(area > 0)) continue;
    const wx = ux - vx;
    const wy = uy - vy;
    const longest = Math.sqrt(Math.max(ux * ux + uy * uy, vx * vx + vy * vy, wx * wx + wy * wy));
    if (2 * longest <= cell) {
      put(grid, ax + (ux + vx) / 3, ay + (uy + vy) / 3, (z[a]! + z[b]! + z[c]!) / 3, area);
      continue;
    }
    // A large triangle is spread over the cells it covers.
    const pieces = Math.min(64, Math.max(1, Math.ceil((2 * longest) / cell)));
    const share = area / (pieces * pieces);
    for (let i = 0; i < pieces; i++) {
      for (let j = 0; j < pieces - i; j++) {
        const halves = j < pieces - i - 1 ? 2 : 1;
        for (let half = 0; half < halves; half++) {
          const s = (i + (1 + half) / 3) / pieces;
          const w = (j + (1 + half) / 3) / pieces;
          put(
            grid,
            ax + s * ux + w * vx,
            ay + s * uy + w * vy,
            z[a]! + s * (z[b]! - z[a]!) + w * (z[c]! - z[a]!),
            share,
          );
        }
      }
    }
  }
}

function put({ x0, y0, cell, columns, sums }: Grid, x: number, y: number, height: number, area: number): void {
  const at = 4 * (Math.floor((x - x0) / cell) + columns * Math.floor((y - y0) / cell));
  sums[at]! += area;
  sums[at + 1]! += area * x;
  sums[at + 2]! += area * y;
  sums[at + 3]! += area * height;
}
