import { inBatches } from '../base/batches.js';
import { axesAround, type Vec3 } from '../mesh/rigid.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { CandidatePlane } from './candidate-planes.js';

/** What a look straight down on a plane shows: the topmost surface over each cell of a grid, sorted by its height. */
export interface TopView {
  /** Area in which the topmost surface lies on the plane. */
  readonly landArea: number;
  /** Area of lower (raised: higher) surface that land shuts in on all sides. */
  readonly hollowArea: number;
  readonly raisedArea: number;
  /** Area of lower (raised: higher) surface that reaches the picture's border or a place where there is nothing. */
  readonly lowBorderArea: number;
  readonly raisedBorderArea: number;
}

const trianglesPerCell = 4;

/** Cells along the longer side of a view that small relief is looked for in. */
const fineCells = 300;
/** A smaller patch off the plane may be noise, and is under half the opening of the smallest piece. */
const leastReliefMm2 = 8;
const nothing = Number.NEGATIVE_INFINITY;
const [gap, land, low, raised] = [0, 1, 2, 3] as const;

/** Looks down on a plane, over a grid with about `size` cells along the longer side. In mm. */
export function topView(mesh: TriangleMesh, plane: CandidatePlane, tolerance: number, size = fineCells): TopView {
  const { columns, rows, heights, cell } = topmost(mesh, plane, size);
  const each = cell * cell;
  const kind = new Int8Array(columns * rows);
  for (let i = 0; i < kind.length; i++) {
    const h = heights[i]!;
    kind[i] = h === nothing ? gap : h < -tolerance ? low : h > tolerance ? raised : land;
  }
  const cells = { landArea: 0, hollowArea: 0, raisedArea: 0, lowBorderArea: 0, raisedBorderArea: 0 };
  for (let i = 0; i < kind.length; i++) if (kind[i] === land) cells.landArea++;
  const outside = reachedFromBorder(kind, columns, rows);
  const seen = new Uint8Array(kind.length);
  const stack: number[] = [];
  for (let start = 0; start < kind.length; start++) {
    const k = kind[start]!;
    if (k < low || seen[start]) continue;
    let size = 0;
    let shutIn = true;
    stack.push(start);
    seen[start] = 1;
    while (stack.length > 0) {
      const i = stack.pop()!;
      size++;
      const x = i % columns;
      if (x === 0 || x === columns - 1 || i < columns || i >= kind.length - columns) shutIn = false;
      for (let side = 0; side < 4; side++) {
        const j = side === 0 ? i - columns : side === 1 ? i + columns : side === 2 ? i - 1 : i + 1;
        if (j < 0 || j >= kind.length || (side === 2 && x === 0) || (side === 3 && x === columns - 1)) continue;
        if (outside[j]) shutIn = false;
        if (kind[j] === k && !seen[j]) {
          seen[j] = 1;
          stack.push(j);
        }
      }
    }
    if (size * each < leastReliefMm2) continue;
    if (k === low) cells[shutIn ? 'hollowArea' : 'lowBorderArea'] += size;
    else cells[shutIn ? 'raisedArea' : 'raisedBorderArea'] += size;
  }
  return {
    landArea: cells.landArea * each,
    hollowArea: cells.hollowArea * each,
    raisedArea: cells.raisedArea * each,
    lowBorderArea: cells.lowBorderArea * each,
    raisedBorderArea: cells.raisedBorderArea * each,
  };
}

/** The empty cells that hang together with the picture's border; a hole in a scan is none of them. */
function reachedFromBorder(kind: Int8Array, columns: number, rows: number): Uint8Array {
  const reached = new Uint8Array(kind.length);
  const stack: number[] = [];
  const visit = (i: number) => {
    if (kind[i] !== gap || reached[i]) return;
    reached[i] = 1;
    stack.push(i);
  };
  for (let x = 0; x < columns; x++) [x, x + columns * (rows - 1)].forEach(visit);
  for (let y = 0; y < rows; y++) [columns * y, columns * y + columns - 1].forEach(visit);
  while (stack.length > 0) {
    const i = stack.pop()!;
    const x = i % columns;
    if (x > 0) visit(i - 1);
    if (x < columns - 1) visit(i + 1);
    if (i >= columns) visit(i - columns);
    if (i < kind.length - columns) visit(i + columns);
  }
  return reached;
}

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

/** The height over the plane of the topmost surface in each cell; surface that faces away is not seen. */
function topmost(mesh: TriangleMesh, plane: CandidatePlane, size: number) {
  const { positions, triangles } = mesh;
  const { x, y } = axesAround(plane.normal);
  // A coarse view is content with the extent of a share of the points: what lies outside goes into the outermost cells.
  const every = size < fineCells ? Math.max(1, Math.floor(positions.length / 3 / (8 * size * size))) : 1;
  const [x0, x1] = extentAlong(positions, x, 3 * every);
  const [y0, y1] = extentAlong(positions, y, 3 * every);
  const cell = Math.max(x1 - x0, y1 - y0) / size || 1;
  const columns = Math.max(1, Math.ceil((x1 - x0) / cell));
  const rows = Math.max(1, Math.ceil((y1 - y0) / cell));
  const grid = { columns, rows, cell, x0, y0, x, y, plane };
  const heights = new Float64Array(columns * rows).fill(nothing);
  // Where triangles are far smaller than cells, a share of them covers every cell.
  const step = 3 * Math.max(1, Math.floor(triangles.length / 3 / (trianglesPerCell * columns * rows)));
  inBatches(triangles.length, (from, to) => putTriangles(mesh, from, to, step, grid, heights), step);
  return { columns, rows, heights, cell };
}

function extentAlong(positions: Float64Array, [ux, uy, uz]: Vec3, stride: number): [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (let v = 0; v < positions.length; v += stride) {
    const x = ux * positions[v]! + uy * positions[v + 1]! + uz * positions[v + 2]!;
    if (x < low) low = x;
    if (x > high) high = x;
  }
  return [low, high];
}

/** Raises the cells' heights to those of every so many of some triangles, with corners `from` to `to`. */
function putTriangles(
  { positions, triangles }: TriangleMesh,
  from: number,
  to: number,
  step: number,
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
  for (let t = from; t < to; t += step) {
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
    if (!(doubled > 0)) continue;
    const za = wx * ax + wy * ay + wz * az - offset;
    const zb = wx * bx + wy * by + wz * bz - offset;
    const zc = wx * cx + wy * cy + wz * cz - offset;
    const left = Math.ceil(Math.min(xa, xb, xc) - 0.5);
    const right = Math.floor(Math.max(xa, xb, xc) - 0.5);
    const bottom = Math.ceil(Math.min(ya, yb, yc) - 0.5);
    const top = Math.floor(Math.max(ya, yb, yc) - 0.5);
    if (left > right || bottom > top) {
      // Smaller than a cell: its middle stands for it, unless it is a sliver seen edge-on.
      if (!(doubled > 1e-3)) continue;
      const column = Math.floor((xa + xb + xc) / 3);
      const i = cellAt(column, Math.floor((ya + yb + yc) / 3), columns, rows);
      const middle = (za + zb + zc) / 3;
      if (middle > heights[i]!) heights[i] = middle;
      continue;
    }
    for (let row = bottom; row <= top; row++) {
      const y = row + 0.5;
      for (let column = left; column <= right; column++) {
        const x = column + 0.5;
        const wa = (xb - x) * (yc - y) - (xc - x) * (yb - y);
        const wb = (xc - x) * (ya - y) - (xa - x) * (yc - y);
        const wc = doubled - wa - wb;
        if (wa < 0 || wb < 0 || wc < 0) continue;
        const i = cellAt(column, row, columns, rows);
        const z = (wa * za + wb * zb + wc * zc) / doubled;
        if (z > heights[i]!) heights[i] = z;
      }
    }
  }
}

/** The cell, or the outermost one on that side. */
function cellAt(column: number, row: number, columns: number, rows: number): number {
  return Math.max(0, Math.min(columns - 1, column)) + columns * Math.max(0, Math.min(rows - 1, row));
}
