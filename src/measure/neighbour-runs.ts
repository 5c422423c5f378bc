import type { Columns } from './columns.js';

/** Visits every pair of runs that touch, once: in columns side by side, over a common stretch of height. */
export function forEachTouching(columns: Columns, visit: (run: number, other: number) => void): void {
  const { across, along } = columns;
  for (let j = 0; j < along; j++) {
    for (let i = 0; i < across; i++) {
      const column = i + across * j;
      if (i + 1 < across) forTouchingIn(columns, column, column + 1, visit);
      if (j + 1 < along) forTouchingIn(columns, column, column + across, visit);
    }
  }
}

/** Column of each run. */
export function columnOfRuns(columns: Columns): Uint32Array {
  const result = new Uint32Array(columns.topMm.length);
  for (let c = 0; c + 1 < columns.starts.length; c++) result.fill(c, columns.starts[c], columns.starts[c + 1]);
  return result;
}

/** Visits the runs that touch one run. */
export function forEachNeighbour(columns: Columns, run: number, column: number, visit: (other: number) => void): void {
  const { across, along, starts, bottomMm, topMm } = columns;
  const i = column % across;
  const j = (column - i) / across;
  for (let side = 0; side < 4; side++) {
    if (side === 0 ? i === 0 : side === 1 ? i + 1 === across : side === 2 ? j === 0 : j + 1 === along) continue;
    const next = column + (side === 0 ? -1 : side === 1 ? 1 : side === 2 ? -across : across);
    for (let k = starts[next]!; k < starts[next + 1]!; k++) {
      if (bottomMm[k]! < topMm[run]! && topMm[k]! > bottomMm[run]!) visit(k);
    }
  }
}

function forTouchingIn(columns: Columns, c: number, d: number, visit: (run: number, other: number) => void): void {
  const { starts, bottomMm, topMm } = columns;
  for (let r = starts[c]!; r < starts[c + 1]!; r++) {
    for (let k = starts[d]!; k < starts[d + 1]!; k++) {
      if (bottomMm[k]! < topMm[r]! && topMm[k]! > bottomMm[r]!) visit(r, k);
    }
  }
}
