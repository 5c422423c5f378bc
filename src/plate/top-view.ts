import { nothingThere, type Relief } from './relief.js';

/** What a look straight down on a plane shows: the topmost surface over each cell of a grid, sorted by its height. */
export interface TopView {
  /** Area in which the topmost surface lies on the plane. */
  readonly landArea: number;
  /** Area of lower (raised: higher) surface that land shuts in on all sides. */
  readonly hollowArea: number;
  readonly raisedArea: number;
  /** How many such patches there are. */
  readonly patches: number;
  /** Area of lower (raised: higher) surface that reaches the picture's border or a place where there is nothing. */
  readonly lowBorderArea: number;
  readonly raisedBorderArea: number;
}

/** A smaller patch off the plane may be noise, and is under half the opening of the smallest piece. */
const leastReliefMm2 = 8;
const [gap, land, low, raised] = [0, 1, 2, 3] as const;

/** Sorts what is seen by its height; what is within the tolerance of the plane is land. In mm. */
export function topView({ columns, rows, heights, cell }: Relief, tolerance: number): TopView {
  const each = cell * cell;
  const kind = new Int8Array(columns * rows);
  const cells = { landArea: 0, hollowArea: 0, raisedArea: 0, lowBorderArea: 0, raisedBorderArea: 0 };
  cells.landArea = sortByHeight(heights, tolerance, kind);
  const outside = reachedFromBorder(kind, columns, rows);
  const patches = { kind, columns, outside, seen: new Uint8Array(kind.length), stack: new Int32Array(kind.length) };
  let shutIn = 0;
  for (let start = nextPatch(patches, 0); start < kind.length; start = nextPatch(patches, start + 1)) {
    const k = kind[start]!;
    const size = patchFrom(patches, start);
    if (Math.abs(size) * each < leastReliefMm2) continue;
    if (size > 0) shutIn++;
    if (k === low) cells[size > 0 ? 'hollowArea' : 'lowBorderArea'] += Math.abs(size);
    else cells[size > 0 ? 'raisedArea' : 'raisedBorderArea'] += Math.abs(size);
  }
  return {
    landArea: cells.landArea * each,
    hollowArea: cells.hollowArea * each,
    raisedArea: cells.raisedArea * each,
    patches: shutIn,
    lowBorderArea: cells.lowBorderArea * each,
    raisedBorderArea: cells.raisedBorderArea * each,
  };
}

/** @returns how many cells are land */
function sortByHeight(heights: Float64Array, tolerance: number, kind: Int8Array): number {
  let count = 0;
  for (let i = 0; i < kind.length; i++) {
    const h = heights[i]!;
    const k = h === nothingThere ? gap : h < -tolerance ? low : h > tolerance ? raised : land;
    kind[i] = k;
    if (k === land) count++;
  }
  return count;
}

/** The next cell of a patch that was not looked at, or the number of all cells. */
function nextPatch({ kind, seen }: Patches, from: number): number {
  let i = from;
  while (i < kind.length && (kind[i]! < low || seen[i] === 1)) i++;
  return i;
}

interface Patches {
  readonly kind: Int8Array;
  readonly columns: number;
  readonly outside: Uint8Array;
  /** Cells of patches that were looked at. */
  readonly seen: Uint8Array;
  /** Room for as many cells as there are. */
  readonly stack: Int32Array;
}

/** How many cells of one kind hang together with a cell, at least itself; negative where they are not shut in on all sides. */
function patchFrom({ kind, columns, outside, seen, stack }: Patches, start: number): number {
  const k = kind[start]!;
  let size = 0;
  let sign = 1;
  let waiting = 1;
  stack[0] = start;
  seen[start] = 1;
  while (waiting > 0) {
    const i = stack[--waiting]!;
    size++;
    const x = i % columns;
    if (x === 0 || x === columns - 1 || i < columns || i >= kind.length - columns) sign = -1;
    for (let side = 0; side < 4; side++) {
      const j = side === 0 ? i - columns : side === 1 ? i + columns : side === 2 ? i - 1 : i + 1;
      if (j < 0 || j >= kind.length || (side === 2 && x === 0) || (side === 3 && x === columns - 1)) continue;
      if (outside[j] === 1) sign = -1;
      if (kind[j] !== k || seen[j] === 1) continue;
      seen[j] = 1;
      stack[waiting++] = j;
    }
  }
  return sign * size;
}

/** The empty cells that hang together with the picture's border; a hole in a scan is none of them. */
function reachedFromBorder(kind: Int8Array, columns: number, rows: number): Uint8Array {
  const reached = new Uint8Array(kind.length);
  const stack = new Int32Array(kind.length);
  let waiting = 0;
  for (let row = 0; row < rows; row++) {
    // Of the rows between the first and the last only both ends.
    const step = row === 0 || row === rows - 1 ? 1 : Math.max(1, columns - 1);
    for (let i = row * columns; i < (row + 1) * columns; i += step) {
      if (kind[i] !== gap) continue;
      reached[i] = 1;
      stack[waiting++] = i;
    }
  }
  while (waiting > 0) {
    const i = stack[--waiting]!;
    const x = i % columns;
    for (let side = 0; side < 4; side++) {
      const j = side === 0 ? i - columns : side === 1 ? i + columns : side === 2 ? i - 1 : i + 1;
      if (j < 0 || j >= kind.length || (side === 2 && x === 0) || (side === 3 && x === columns - 1)) continue;
      if (kind[j] !== gap || reached[j] === 1) continue;
      reached[j] = 1;
      stack[waiting++] = j;
    }
  }
  return reached;
}
