/** Body walls as the plan sees them. */
interface Wall {
  readonly positions: ArrayLike<number>;
  readonly triangles: Uint32Array;
  /** Of `triangles`, how many indices are wall. */
  readonly wallIndices: number;
}

const finestMm = 0.25;
const mostCells = 4e6;
/** A rim is left to both surfaces, or a slit would show between them. */
const belowRimMm = 0.3;

/**
 * The triangles of a plate with those last that a fill body's wall covers when looked at from above: in a fine mesh that
 * is nearly all, and as long as the bodies lie in the mould they need not be drawn twice.
 * @returns the same triangles in another order, and how many indices at the beginning are not covered
 */
export function coveredLast(
  positions: ArrayLike<number>,
  triangles: Uint32Array,
  bodies: readonly Wall[],
): { readonly triangles: Uint32Array; readonly openIndices: number } {
  const covers = coverOf(bodies);
  const ordered = new Uint32Array(triangles.length);
  let [open, covered] = [0, triangles.length];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const isCovered = covers !== null && facesUp(positions, a, b, c) && covers(a) && covers(b) && covers(c);
    const at = isCovered ? (covered -= 3) : (open += 3) - 3;
    ordered[at] = a;
    ordered[at + 1] = b;
    ordered[at + 2] = c;
  }
  return { triangles: ordered, openIndices: open };

  function coverOf(walls: readonly Wall[]): ((vertex: number) => boolean) | null {
    const grid = planGrid(walls);
    if (grid === null) return null;
    for (const wall of walls) for (let t = 0; t < wall.wallIndices; t += 3) grid.mark(wall, t);
    return (vertex) =>
      positions[3 * vertex + 2]! < -belowRimMm && grid.has(positions[3 * vertex]!, positions[3 * vertex + 1]!);
  }
}

function facesUp(p: ArrayLike<number>, a: number, b: number, c: number): boolean {
  const [ax, ay] = [p[3 * a]!, p[3 * a + 1]!];
  return (p[3 * b]! - ax) * (p[3 * c + 1]! - ay) - (p[3 * b + 1]! - ay) * (p[3 * c]! - ax) > 0;
}

/** Cells of the plan over which some wall lies; null where there is no wall. */
function planGrid(walls: readonly Wall[]) {
  let [xMin, yMin, xMax, yMax] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { positions: p } of walls) {
    for (let i = 0; i < p.length; i += 3) {
      xMin = Math.min(xMin, p[i]!);
      xMax = Math.max(xMax, p[i]!);
      yMin = Math.min(yMin, p[i + 1]!);
      yMax = Math.max(yMax, p[i + 1]!);
    }
  }
  if (!(xMax > xMin && yMax > yMin)) return null;
  const cellMm = Math.max(finestMm, Math.sqrt(((xMax - xMin) * (yMax - yMin)) / mostCells));
  const [width, height] = [Math.ceil((xMax - xMin) / cellMm) + 1, Math.ceil((yMax - yMin) / cellMm) + 1];
  const cells = new Uint8Array(width * height);
  const column = (x: number): number => Math.floor((x - xMin) / cellMm);
  const row = (y: number): number => Math.floor((y - yMin) / cellMm);
  return {
    has(x: number, y: number): boolean {
      const [i, j] = [column(x), row(y)];
      return i >= 0 && j >= 0 && i < width && j < height && cells[j * width + i] === 1;
    },
    /** Marks the cells whose middle lies in a triangle; of a triangle smaller than that, those of its corners. */
    mark({ positions: p, triangles }: Wall, t: number): void {
      const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
      const [ax, ay, bx, by, cx, cy] = [p[a]!, p[a + 1]!, p[b]!, p[b + 1]!, p[c]!, p[c + 1]!];
      cells[row(ay) * width + column(ax)] = 1;
      cells[row(by) * width + column(bx)] = 1;
      cells[row(cy) * width + column(cx)] = 1;
      const turn = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax) < 0 ? -1 : 1;
      const [iTo, jTo] = [column(Math.max(ax, bx, cx)), row(Math.max(ay, by, cy))];
      for (let j = row(Math.min(ay, by, cy)); j <= jTo; j++) {
        for (let i = column(Math.min(ax, bx, cx)); i <= iTo; i++) {
          const [x, y] = [xMin + (i + 0.5) * cellMm, yMin + (j + 0.5) * cellMm];
          if (turn * ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) < 0) continue;
          if (turn * ((cx - bx) * (y - by) - (cy - by) * (x - bx)) < 0) continue;
          if (turn * ((ax - cx) * (y - cy) - (ay - cy) * (x - cx)) < 0) continue;
          cells[j * width + i] = 1;
        }
      }
    },
  };
}
