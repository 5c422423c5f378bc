import { nothingThere, type Relief } from './relief.js';

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

/** A smaller patch off the plane may be noise, and is under half the opening of the smallest piece. */
const leastReliefMm2 = 8;
const [gap, land, low, raised] = [0, 1, 2, 3] as const;

/** Sorts what is seen by its height; what is within the tolerance of the plane is land. In mm. */
export function topView({ columns, rows, heights, cell }: Relief, tolerance: number): TopView {
  const each = cell * cell;
  const kind = new Int8Array(columns * rows);
  for (let i = 0; i < kind.length; i++) {
    const h = heights[i]!;
    kind[i] = h === nothingThere ? gap : h < -tolerance ? low : h > tolerance ? raised : land;
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
