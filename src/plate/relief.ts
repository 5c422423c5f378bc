import { inBatches } from '../base/batches.js';
import { GrowingUint32 } from '../base/growing.js';
import type { LargeFaces } from '../mesh/face-sums.js';
import { axesAround, type Vec3 } from '../mesh/rigid.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { CandidatePlane } from './candidate-planes.js';

/** What a look straight down on a plane sees: the height over it of the topmost surface in each cell of a grid. */
export interface Relief {
  readonly columns: number;
  readonly rows: number;
  /** Side of a cell, mm. */
  readonly cell: number;
  /** Per cell, mm; `nothingThere` where no surface is seen. */
  readonly heights: Float64Array;
  /** Whether it is fine enough to look for small relief. */
  readonly isFine: boolean;
}

export const nothingThere = Number.NEGATIVE_INFINITY;

/** Cells along the longer side of a view that small relief is looked for in. */
const fineCells = 300;
const trianglesPerCell = 4;

/** A grid in a plane: where it lies, and how a point is seen from straight above it. */
interface Grid {
  readonly columns: number;
  readonly rows: number;
  /** Side of a cell, mm. */
  readonly cell: number;
  readonly x0: number;
  readonly y0: number;
  readonly x: Vec3;
  readonly y: Vec3;
  readonly plane: CandidatePlane;
}

/**
 * Looks down on a plane, over a grid with about `size` cells along the longer side. Surface that faces away is not seen.
 * @param large those triangles of the mesh that a share of all would miss
 */
export function reliefOver(mesh: TriangleMesh, large: LargeFaces, plane: CandidatePlane, size = fineCells): Relief {
  const { positions, triangles } = mesh;
  const { x, y } = axesAround(plane.normal);
  // A coarse view is content with the extent of a share of the points: what lies outside goes into the outermost cells.
  const every = size < fineCells ? Math.max(1, Math.floor(positions.length / 3 / (2 * size * size))) : 1;
  const box = extent(positions, x, y, 3 * every);
  // A share of the points may have none of a land of few large triangles.
  if (every > 1) widenByCorners(box, mesh, large.triangles, x, y);
  const [x0, y0, x1, y1] = box;
  const cell = Math.max(x1! - x0!, y1! - y0!) / size || 1;
  const columns = Math.max(1, Math.ceil((x1! - x0!) / cell));
  const rows = Math.max(1, Math.ceil((y1! - y0!) / cell));
  const grid = { columns, rows, cell, x0: x0!, y0: y0!, x, y, plane };
  const heights = new Float64Array(columns * rows).fill(nothingThere);
  // Where triangles are far smaller than cells, a share of them covers every cell. The large ones are looked at by
  // themselves; seen from here one may have less than its area, so that a few come twice.
  const step = Math.max(1, Math.floor(triangles.length / 3 / (trianglesPerCell * columns * rows)));
  const doubled = (2.001 * large.limit) / (cell * cell);
  inBatches(
    triangles.length,
    (from, to) => putTriangles(mesh, null, from, to, 3 * step, doubled, grid, heights),
    3 * step,
  );
  const chosen = shareOfLarge(large, (cell * cell) / trianglesPerCell);
  inBatches(chosen.length, (from, to) => putTriangles(mesh, chosen, from, to, 1, Infinity, grid, heights));
  return { columns, rows, cell, heights, isFine: size >= fineCells };
}

/** How far the points reach along two directions: x0, y0, x1, y1. */
function extent(positions: Float64Array, x: Vec3, y: Vec3, stride: number): Float64Array {
  const box = Float64Array.of(Infinity, Infinity, -Infinity, -Infinity);
  inBatches(positions.length, (from, to) => widenAlong(box, positions, x, y, from, to, stride), stride);
  return box;
}

function widenByCorners(
  box: Float64Array,
  { positions: p, triangles }: TriangleMesh,
  own: Uint32Array,
  u: Vec3,
  v: Vec3,
): void {
  for (let i = 0; i < own.length; i++) {
    for (let k = 0; k < 3; k++) {
      const at = 3 * triangles[3 * own[i]! + k]!;
      widenAlong(box, p, u, v, at, at + 3, 3);
    }
  }
}

function widenAlong(
  box: Float64Array,
  positions: Float64Array,
  u: Vec3,
  v: Vec3,
  from: number,
  to: number,
  stride: number,
): void {
  const ux = u[0];
  const uy = u[1];
  const uz = u[2];
  const vx = v[0];
  const vy = v[1];
  const vz = v[2];
  let x0 = box[0]!;
  let y0 = box[1]!;
  let x1 = box[2]!;
  let y1 = box[3]!;
  for (let i = from; i < to; i += stride) {
    const px = positions[i]!;
    const py = positions[i + 1]!;
    const pz = positions[i + 2]!;
    const x = ux * px + uy * py + uz * pz;
    const y = vx * px + vy * py + vz * pz;
    if (x < x0) x0 = x;
    if (x > x1) x1 = x;
    if (y < y0) y0 = y;
    if (y > y1) y1 = y;
  }
  box[0] = x0;
  box[1] = y0;
  box[2] = x1;
  box[3] = y1;
}

/** Of large triangles as many as it takes to cover areas of this size with one each: all that are larger. */
function shareOfLarge({ triangles, areas }: LargeFaces, area: number): Uint32Array {
  const chosen = new GrowingUint32();
  inBatches(triangles.length, (from, to) => chooseLarge(triangles, areas, area, from, to, chosen));
  return chosen.take();
}

function chooseLarge(
  triangles: Uint32Array,
  areas: Float32Array,
  area: number,
  from: number,
  to: number,
  chosen: GrowingUint32,
): void {
  for (let i = from; i < to; i++) if (i % Math.max(1, Math.floor(area / areas[i]!)) === 0) chosen.push(triangles[i]!);
}

/**
 * Raises the cells' heights to those of every so many of some triangles.
 * @param own the triangles' numbers, at places `first` to `end`; null: all triangles, with corners `first` to `end`
 * @param mostDoubled twice the area, in cells, over which a triangle is left out
 */
function putTriangles(
  { positions, triangles }: TriangleMesh,
  own: Uint32Array | null,
  first: number,
  end: number,
  step: number,
  mostDoubled: number,
  { columns, rows, cell, x0, y0, x: u, y: v, plane }: Grid,
  heights: Float64Array,
): void {
  const ux = u[0];
  const uy = u[1];
  const uz = u[2];
  const vx = v[0];
  const vy = v[1];
  const vz = v[2];
  const wx = plane.normal[0];
  const wy = plane.normal[1];
  const wz = plane.normal[2];
  const { offset } = plane;
  for (let i = first; i < end; i += step) {
    const t = own === null ? i : 3 * own[i]!;
    // Seen in the plane: only the triangles that are looked at are turned into it.
    const a = 3 * triangles[t]!;
    const ax = positions[a]!;
    const ay = positions[a + 1]!;
    const az = positions[a + 2]!;
    const b = 3 * triangles[t + 1]!;
    const bx = positions[b]!;
    const by = positions[b + 1]!;
    const bz = positions[b + 2]!;
    const c = 3 * triangles[t + 2]!;
    const cx = positions[c]!;
    const cy = positions[c + 1]!;
    const cz = positions[c + 2]!;
    const xa = (ux * ax + uy * ay + uz * az - x0) / cell;
    const ya = (vx * ax + vy * ay + vz * az - y0) / cell;
    const xb = (ux * bx + uy * by + uz * bz - x0) / cell;
    const yb = (vx * bx + vy * by + vz * bz - y0) / cell;
    const xc = (ux * cx + uy * cy + uz * cz - x0) / cell;
    const yc = (vx * cx + vy * cy + vz * cz - y0) / cell;
    const doubled = (xb - xa) * (yc - ya) - (xc - xa) * (yb - ya);
    if (!(doubled > 0 && doubled <= mostDoubled)) continue;
    const za = wx * ax + wy * ay + wz * az - offset;
    const zb = wx * bx + wy * by + wz * bz - offset;
    const zc = wx * cx + wy * cy + wz * cz - offset;
    let left = Math.ceil(Math.min(xa, xb, xc) - 0.5);
    let right = Math.floor(Math.max(xa, xb, xc) - 0.5);
    let bottom = Math.ceil(Math.min(ya, yb, yc) - 0.5);
    let top = Math.floor(Math.max(ya, yb, yc) - 0.5);
    // Where in its cells a triangle is looked at: in their middles.
    let inX = 0.5;
    let inY = 0.5;
    if (left > right || bottom > top) {
      // Smaller than a cell: its own middle stands for it, unless it is a sliver seen edge-on.
      if (!(doubled > 1e-3)) continue;
      const x = (xa + xb + xc) / 3;
      const y = (ya + yb + yc) / 3;
      left = right = Math.floor(x);
      bottom = top = Math.floor(y);
      inX = x - left;
      inY = y - bottom;
    }
    const ab = (xb - xa) / (yb - ya);
    const bc = (xc - xb) / (yc - yb);
    const ca = (xa - xc) / (ya - yc);
    for (let row = bottom; row <= top; row++) {
      const y = row + inY;
      // Where its sides pass the row: of a long triangle that is far from all of its box.
      let low = right;
      let high = left;
      if (ya <= y !== yb <= y) {
        const x = xa + (y - ya) * ab - 0.5;
        if (x < low) low = x;
        if (x > high) high = x;
      }
      if (yb <= y !== yc <= y) {
        const x = xb + (y - yb) * bc - 0.5;
        if (x < low) low = x;
        if (x > high) high = x;
      }
      if (yc <= y !== ya <= y) {
        const x = xc + (y - yc) * ca - 0.5;
        if (x < low) low = x;
        if (x > high) high = x;
      }
      const from = Math.max(left, Math.floor(low));
      const to = Math.min(right, Math.ceil(high));
      for (let column = from; column <= to; column++) {
        const x = column + inX;
        const wa = (xb - x) * (yc - y) - (xc - x) * (yb - y);
        const wb = (xc - x) * (ya - y) - (xa - x) * (yc - y);
        const wc = doubled - wa - wb;
        if (wa < 0 || wb < 0 || wc < 0) continue;
        const at = cellAt(column, row, columns, rows);
        const z = (wa * za + wb * zb + wc * zc) / doubled;
        if (z > heights[at]!) heights[at] = z;
      }
    }
  }
}

/** The cell, or the outermost one on that side. */
function cellAt(column: number, row: number, columns: number, rows: number): number {
  return Math.max(0, Math.min(columns - 1, column)) + columns * Math.max(0, Math.min(rows - 1, row));
}
