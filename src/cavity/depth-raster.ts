import { inBatches } from '../base/batches.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** Depth of a hollow over square cells in plan; its outermost cells are empty. */
export interface DepthRaster {
  readonly columns: number;
  readonly rows: number;
  readonly cellMm: number;
  /** Depth under the scrape surface of the deepest wall in each cell, mm; 0 where there is none. */
  readonly depth: Float64Array;
  /** Middle of a cell. */
  place(cell: number): [x: number, y: number];
  /** The cell at a place, or the nearest one. */
  cellAt(x: number, y: number): number;
}

const leastCellMm = 0.5;
const mostCells = 40_000;

/** @param z height per vertex over the scrape surface, mm */
export function depthRaster(mesh: TriangleMesh, z: Float64Array, own: Uint32Array): DepthRaster {
  const box = Float64Array.of(Infinity, Infinity, -Infinity, -Infinity);
  inBatches(own.length, (from, to) => widenUnderZero(box, mesh, z, own, from, to));
  // A fringe of which no corner lies under the scrape surface has no depth anywhere.
  if (!(box[2]! >= box[0]!)) box.fill(0);
  const [x0, y0, x1, y1] = box as unknown as readonly [number, number, number, number];
  const cellMm = Math.max(leastCellMm, Math.sqrt(((x1 - x0) * (y1 - y0)) / mostCells));
  const columns = Math.ceil((x1 - x0) / cellMm) + 3;
  const rows = Math.ceil((y1 - y0) / cellMm) + 3;
  const depth = new Float64Array(columns * rows);
  const grid = { columns, rows, perMm: 1 / cellMm, depth, x0, y0 };
  inBatches(own.length, (from, to) => sinkTriangles(grid, mesh, z, own, from, to));
  // Only the cells inside: the border stays empty.
  for (let i = 0; i < columns; i++) depth[i] = depth[i + columns * (rows - 1)] = 0;
  for (let j = 0; j < rows; j++) depth[columns * j] = depth[columns * j + columns - 1] = 0;
  return {
    ...{ columns, rows, cellMm, depth },
    cellAt: (x, y) => cellAt(grid, x, y),
    place: (cell) => [x0 + ((cell % columns) - 0.5) * cellMm, y0 + (Math.floor(cell / columns) - 0.5) * cellMm],
  };
}

interface Grid {
  readonly columns: number;
  readonly rows: number;
  /** Cells a millimetre. */
  readonly perMm: number;
  readonly depth: Float64Array;
  readonly x0: number;
  readonly y0: number;
}

function cellAt({ columns, rows, perMm, x0, y0 }: Grid, x: number, y: number): number {
  const column = Math.max(0, Math.min(columns - 1, Math.floor((x - x0) * perMm) + 1));
  return column + columns * Math.max(0, Math.min(rows - 1, Math.floor((y - y0) * perMm) + 1));
}

/** Widens a box in plan by the corners under zero of some of the triangles. */
function widenUnderZero(
  box: Float64Array,
  { positions: p, triangles }: TriangleMesh,
  z: Float64Array,
  own: Uint32Array,
  from: number,
  to: number,
): void {
  let x0 = box[0]!;
  let y0 = box[1]!;
  let x1 = box[2]!;
  let y1 = box[3]!;
  for (let i = from; i < to; i++) {
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * own[i]! + k]!;
      if (!(z[v]! < 0)) continue;
      const x = p[3 * v]!;
      const y = p[3 * v + 1]!;
      if (x < x0) x0 = x;
      if (x > x1) x1 = x;
      if (y < y0) y0 = y;
      if (y > y1) y1 = y;
    }
  }
  box[0] = x0;
  box[1] = y0;
  box[2] = x1;
  box[3] = y1;
}

/** Sinks the cells under some of the triangles to their depth. */
function sinkTriangles(
  grid: Grid,
  { positions: p, triangles }: TriangleMesh,
  z: Float64Array,
  own: Uint32Array,
  from: number,
  to: number,
): void {
  const { perMm, depth } = grid;
  for (let n = from; n < to; n++) {
    const t = 3 * own[n]!;
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    const ax = p[3 * a]!;
    const ay = p[3 * a + 1]!;
    const ux = p[3 * b]! - ax;
    const uy = p[3 * b + 1]! - ay;
    const vx = p[3 * c]! - ax;
    const vy = p[3 * c + 1]! - ay;
    const zb = z[b]! - z[a]!;
    const zc = z[c]! - z[a]!;
    // A triangle larger than a cell is sampled at a net of its points.
    const wx = ux - vx;
    const wy = uy - vy;
    const longest = Math.sqrt(Math.max(ux * ux + uy * uy, vx * vx + vy * vy, wx * wx + wy * wy));
    const steps = Math.max(1, Math.ceil(1.5 * longest * perMm));
    for (let i = 0; i < steps; i++) {
      for (let j = 0; j < steps - i; j++) {
        const s = (i + 1 / 3) / steps;
        const r = (j + 1 / 3) / steps;
        const at = cellAt(grid, ax + s * ux + r * vx, ay + s * uy + r * vy);
        const under = -(z[a]! + s * zb + r * zc);
        if (under > depth[at]!) depth[at] = under;
      }
    }
  }
}

/** Distance of each cell from the nearest empty one, mm: two sweeps (chamfer 3-4, Borgefors 1986; within 8 %). */
export function toOutside({ columns, rows, cellMm, depth }: DepthRaster): Float64Array {
  const away = Float64Array.from(depth, (value) => (value > 0 ? Number.POSITIVE_INFINITY : 0));
  const sweep = (from: number, to: number, step: number) => {
    for (let cell = from; cell !== to; cell += step) {
      if (away[cell] === 0) continue;
      const [side, up] = [step, step * columns];
      away[cell] = Math.min(
        away[cell]!,
        (away[cell - side] ?? 0) + cellMm,
        (away[cell - up] ?? 0) + cellMm,
        (away[cell - up - side] ?? 0) + (4 * cellMm) / 3,
        (away[cell - up + side] ?? 0) + (4 * cellMm) / 3,
      );
    }
  };
  sweep(0, columns * rows, 1);
  sweep(columns * rows - 1, -1, -1);
  return away;
}
