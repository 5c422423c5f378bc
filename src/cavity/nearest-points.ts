/**
 * Nearest of a set of points in plan, for many queries within a reach: a raster holds the nearest point of each cell,
 * carried over from its neighbours (sequential signed distance transform, Danielsson 1980); a query compares those of its
 * own cell and the eight round it.
 */
export class NearestPoints {
  private readonly nearest: Int32Array;
  private readonly columns: number;
  private readonly rows: number;
  private readonly x0: number;
  private readonly y0: number;
  readonly bounds: readonly [number, number, number, number];

  /**
   * @param points x, y per point
   * @param reachMm queries farther out than this find nothing
   */
  constructor(
    private readonly points: Float64Array,
    reachMm: number,
    private readonly cellMm = 0.4,
  ) {
    let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = 0; i < points.length; i += 2) {
      x0 = Math.min(x0, points[i]!);
      x1 = Math.max(x1, points[i]!);
      y0 = Math.min(y0, points[i + 1]!);
      y1 = Math.max(y1, points[i + 1]!);
    }
    this.x0 = x0 - reachMm;
    this.y0 = y0 - reachMm;
    this.bounds = [x0 - reachMm, y0 - reachMm, x1 + reachMm, y1 + reachMm];
    this.columns = Math.ceil((x1 - x0 + 2 * reachMm) / cellMm) + 1;
    this.rows = Math.ceil((y1 - y0 + 2 * reachMm) / cellMm) + 1;
    this.nearest = new Int32Array(this.columns * this.rows).fill(-1);
    for (let i = 0; i < points.length / 2; i++) this.offer(this.cellOf(points[2 * i]!, points[2 * i + 1]!), i);
    this.sweep();
  }

  /** Number of the point nearest to x, y, or -1. */
  find(x: number, y: number): number {
    const [bx0, by0, bx1, by1] = this.bounds;
    if (x < bx0 || x > bx1 || y < by0 || y > by1) return -1;
    const cell = this.cellOf(x, y);
    const column = cell % this.columns;
    let best = -1;
    let best2 = Infinity;
    for (let row = -1; row <= 1; row++) {
      for (let step = -1; step <= 1; step++) {
        if (column + step < 0 || column + step >= this.columns) continue;
        const i = this.nearest[cell + row * this.columns + step];
        if (i === undefined || i < 0 || i === best) continue;
        const d2 = (this.points[2 * i]! - x) ** 2 + (this.points[2 * i + 1]! - y) ** 2;
        if (d2 < best2) {
          best2 = d2;
          best = i;
        }
      }
    }
    return best;
  }

  private cellOf(x: number, y: number): number {
    return Math.floor((x - this.x0) / this.cellMm) + this.columns * Math.floor((y - this.y0) / this.cellMm);
  }

  private offer(cell: number, i: number): void {
    if (i < 0) return;
    const column = cell % this.columns;
    const x = this.x0 + (column + 0.5) * this.cellMm;
    const y = this.y0 + ((cell - column) / this.columns + 0.5) * this.cellMm;
    const held = this.nearest[cell]!;
    const distance2 = (j: number) => (this.points[2 * j]! - x) ** 2 + (this.points[2 * j + 1]! - y) ** 2;
    if (held < 0 || distance2(i) < distance2(held)) this.nearest[cell] = i;
  }

  private sweep(): void {
    const { columns, rows, nearest } = this;
    for (const forward of [true, false]) {
      for (let j = 0; j < rows; j++) {
        const row = forward ? j : rows - 1 - j;
        const before = forward ? row - 1 : row + 1;
        for (const rightward of [true, false]) {
          for (let k = 0; k < columns; k++) {
            const column = rightward ? k : columns - 1 - k;
            const cell = row * columns + column;
            const beside = rightward ? column - 1 : column + 1;
            if (beside >= 0 && beside < columns) this.offer(cell, nearest[row * columns + beside]!);
            if (!rightward || before < 0 || before >= rows) continue;
            for (let step = -1; step <= 1; step++) {
              const other = column + step;
              if (other >= 0 && other < columns) this.offer(cell, nearest[before * columns + other]!);
            }
          }
        }
      }
    }
  }
}
