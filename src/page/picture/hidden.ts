const cellMm = 0.25;

/**
 * How far every vertex of a fill body lies under overhanging wall, measured in plan to the nearest place that is open
 * above it; 0 for the vertices that are seen from above. Ceilings (wall that faces down into the silicone) are laid on a grid of 0.25 mm; a picture needs no more.
 */
export function hiddenUnderWall(
  positions: ArrayLike<number>,
  triangles: Uint32Array,
  wallIndices: number,
): Float32Array {
  const vertexCount = positions.length / 3;
  const hidden = new Float32Array(vertexCount);
  let [xMin, yMin, xMax, yMax] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let v = 0; v < vertexCount; v++) {
    xMin = Math.min(xMin, positions[3 * v]!);
    yMin = Math.min(yMin, positions[3 * v + 1]!);
    xMax = Math.max(xMax, positions[3 * v]!);
    yMax = Math.max(yMax, positions[3 * v + 1]!);
  }
  const width = Math.ceil((xMax - xMin) / cellMm) + 3;
  const height = Math.ceil((yMax - yMin) / cellMm) + 3;
  if (!(width * height < 4e7)) return hidden;
  const ceiling = ceilings();
  if (ceiling === undefined) return hidden;
  const away = distanceToOpen(ceiling, width, height);
  for (let v = 0; v < vertexCount; v++) {
    const i = Math.round((positions[3 * v]! - xMin) / cellMm) + 1;
    const j = Math.round((positions[3 * v + 1]! - yMin) / cellMm) + 1;
    const cell = j * width + i;
    if (positions[3 * v + 2]! < ceiling[cell]! + cellMm / 2) hidden[v] = away[cell]! * cellMm;
  }
  return hidden;

  /** Highest ceiling over each cell, -Infinity where there is none; undefined where the body has none at all. */
  function ceilings(): Float32Array | undefined {
    const highest = new Float32Array(width * height).fill(-Infinity);
    let any = false;
    for (let t = 0; t < wallIndices; t += 3) {
      const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
      const [ax, ay, bx, by] = [positions[a]!, positions[a + 1]!, positions[b]!, positions[b + 1]!];
      const [cx, cy] = [positions[c]!, positions[c + 1]!];
      const twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
      // Seen from above a ceiling of the fill runs counter-clockwise: its outside is up, in the mould.
      const longest = Math.max(
        (bx - ax) ** 2 + (by - ay) ** 2,
        (cx - ax) ** 2 + (cy - ay) ** 2,
        (cx - bx) ** 2 + (cy - by) ** 2,
      );
      if (twice <= 0.05 * longest) continue;
      any = true;
      const top = Math.max(positions[a + 2]!, positions[b + 2]!, positions[c + 2]!);
      const iTo = Math.floor((Math.max(ax, bx, cx) - xMin) / cellMm) + 1;
      const jTo = Math.floor((Math.max(ay, by, cy) - yMin) / cellMm) + 1;
      for (let j = Math.ceil((Math.min(ay, by, cy) - yMin) / cellMm) + 1; j <= jTo; j++) {
        for (let i = Math.ceil((Math.min(ax, bx, cx) - xMin) / cellMm) + 1; i <= iTo; i++) {
          const [x, y] = [xMin + (i - 1) * cellMm, yMin + (j - 1) * cellMm];
          const u = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
          const v = (cx - bx) * (y - by) - (cy - by) * (x - bx);
          const w = (ax - cx) * (y - cy) - (ay - cy) * (x - cx);
          if (u < 0 || v < 0 || w < 0) continue;
          const cell = j * width + i;
          highest[cell] = Math.max(highest[cell]!, top);
        }
      }
    }
    return any ? highest : undefined;
  }
}

/**
 * Steps from each covered cell to the nearest open one, by two sweeps (chamfer distance, weights 1 and square root of 2;
 * Borgefors 1986): within 8 % of the straight distance.
 */
function distanceToOpen(ceiling: Float32Array, width: number, height: number): Float32Array {
  const away = ceiling.map((z) => (z === -Infinity ? 0 : Infinity));
  const relax = (cell: number, steps: readonly (readonly [number, number])[]): void => {
    for (const [offset, cost] of steps) away[cell] = Math.min(away[cell]!, away[cell + offset]! + cost);
  };
  const back = [
    [-1, 1],
    [-width - 1, Math.SQRT2],
    [-width, 1],
    [-width + 1, Math.SQRT2],
  ] as const;
  const forth = back.map(([offset, cost]) => [-offset, cost] as const);
  for (let j = 1; j < height - 1; j++) for (let i = 1; i < width - 1; i++) relax(j * width + i, back);
  for (let j = height - 2; j > 0; j--) for (let i = width - 2; i > 0; i--) relax(j * width + i, forth);
  return away;
}
