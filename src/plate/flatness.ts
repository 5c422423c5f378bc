/**
 * Flatness after ISO 1101: the least distance of two parallel planes that hold all points between them.
 *
 * With heights small against the plate, the range of z - a x - b y is minimised over the tilt (a, b). It is convex and
 * piecewise linear: each round adds the pair of points that make the present range, and solves the small linear
 * programme of all pairs so far (Kelley's cutting planes, 1960), until the pair is no news.
 */
export function flatness(x: Float64Array, y: Float64Array, z: Float64Array): number {
  const n = z.length;
  if (n < 4) return 0;
  const scaleX = spread(x) || 1;
  const scaleY = spread(y) || 1;
  // Cuts: range >= cz - a cx - b cy.
  const cuts: [cx: number, cy: number, cz: number][] = [];
  let [a, b] = [0, 0];
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 60; round++) {
    let [low, high] = [0, 0];
    let [lowest, highest] = [Infinity, -Infinity];
    for (let i = 0; i < n; i++) {
      const rest = z[i]! - (a * x[i]!) / scaleX - (b * y[i]!) / scaleY;
      if (rest < lowest) [lowest, low] = [rest, i];
      if (rest > highest) [highest, high] = [rest, i];
    }
    best = Math.min(best, highest - lowest);
    cuts.push([(x[high]! - x[low]!) / scaleX, (y[high]! - y[low]!) / scaleY, z[high]! - z[low]!]);
    const next = lowestPoint(cuts, best);
    if (best - next.range <= 1e-7 + 1e-4 * best) break;
    [a, b] = [next.a, next.b];
  }
  return best;
}

function spread(values: Float64Array): number {
  let [low, high] = [Infinity, -Infinity];
  for (const value of values) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return high - low;
}

/** The tilt with the least range that all cuts allow; tilts are held to what one range over the plate can make. */
function lowestPoint(cuts: readonly [number, number, number][], range: number) {
  const reach = 4 * Math.max(range, 1e-9);
  const planes = cuts.map(([cx, cy, cz]) => [cx, cy, 1, cz] as const);
  // Sides of the box: a <= reach and so on, and range >= 0.
  const walls = [
    [1, 0, 0, -reach],
    [-1, 0, 0, -reach],
    [0, 1, 0, -reach],
    [0, -1, 0, -reach],
    [0, 0, 1, 0],
  ] as const;
  // Each row holds as row · (a, b, range) >= last; a box side a >= -reach is the row (1, 0, 0 | -reach).
  const rows = [...planes, ...walls];
  let best = { a: 0, b: 0, range: Number.POSITIVE_INFINITY };
  for (let i = 0; i < rows.length; i++) {
    for (let j = i + 1; j < rows.length; j++) {
      for (let k = j + 1; k < rows.length; k++) {
        const point = meet(rows[i]!, rows[j]!, rows[k]!);
        if (point === null || point[2] >= best.range) continue;
        const [a, b, t] = point;
        if (rows.every((row) => row[0] * a + row[1] * b + row[2] * t >= row[3] - 1e-10 * (1 + reach))) {
          best = { a, b, range: t };
        }
      }
    }
  }
  return best;
}

type Row = readonly [number, number, number, number];

function meet(p: Row, q: Row, r: Row): [number, number, number] | null {
  const det =
    p[0] * (q[1] * r[2] - q[2] * r[1]) - p[1] * (q[0] * r[2] - q[2] * r[0]) + p[2] * (q[0] * r[1] - q[1] * r[0]);
  if (Math.abs(det) < 1e-14) return null;
  const solve = (a: Row, b: Row, c: Row, column: number) => {
    const at = (row: Row, k: number) => (k === column ? row[3] : row[k]!);
    return (
      (at(a, 0) * (at(b, 1) * at(c, 2) - at(b, 2) * at(c, 1)) -
        at(a, 1) * (at(b, 0) * at(c, 2) - at(b, 2) * at(c, 0)) +
        at(a, 2) * (at(b, 0) * at(c, 1) - at(b, 1) * at(c, 0))) /
      det
    );
  };
  return [solve(p, q, r, 0), solve(p, q, r, 1), solve(p, q, r, 2)];
}
