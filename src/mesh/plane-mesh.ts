import earcut from 'earcut';

/**
 * A polygon in the plane filled with triangles over its corners and points inside it, as evenly as they allow
 * (Delaunay's criterion by flips: Lawson 1977).
 * @param loop u, v per corner, counter-clockwise
 * @param inside u, v per point inside
 * @returns numbers of three points a triangle, counter-clockwise: first the corners, then the points inside; null where
 * the polygon crosses itself
 */
export function planeMesh(loop: Float64Array, inside: Float64Array): Uint32Array | null {
  const corners = loop.length / 2;
  const all = new Float64Array(loop.length + inside.length);
  all.set(loop);
  all.set(inside, loop.length);
  // All that follows sees the bent places: a triangle that is right way up there may be just turned over in the straight ones.
  const uv = bulged(all, corners);
  const triangles = earcut(uv.subarray(0, loop.length));
  if (triangles.length !== 3 * (corners - 2)) return null;
  for (let t = 0; t < triangles.length; t += 3) {
    if (turn(uv, triangles[t]!, triangles[t + 1]!, triangles[t + 2]!) >= 0) continue;
    const keep = triangles[t + 1]!;
    triangles[t + 1] = triangles[t + 2]!;
    triangles[t + 2] = keep;
  }
  for (let point = corners; point < uv.length / 2; point++) insert(uv, triangles, point);
  const out = Uint32Array.from(triangles);
  return flipToDelaunay(uv, out, corners) ? out : null;
}

/** Cuts the triangle that a point lies in, or nearest to, into three. */
function insert(uv: Float64Array, triangles: number[], point: number): void {
  let [best, deepest] = [0, -Infinity];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const depth = Math.min(turn(uv, a, b, point), turn(uv, b, c, point), turn(uv, c, a, point));
    if (depth > deepest) [best, deepest] = [t, depth];
  }
  const [a, b, c] = [triangles[best]!, triangles[best + 1]!, triangles[best + 2]!];
  triangles[best + 2] = point;
  triangles.push(b, c, point, c, a, point);
}

/** Straight sides bent outward a little: corners in a straight line would be left out. */
function bulged(uv: Float64Array, corners: number): Float64Array {
  let far = 0;
  for (let i = 0; i < 2 * corners; i += 2) far = Math.max(far, Math.hypot(uv[i]!, uv[i + 1]!));
  return uv.map((value, i) => value * (1 - 1e-4 * ((uv[i & ~1]! / far) ** 2 + (uv[i | 1]! / far) ** 2)));
}

/** @returns whether each side of the polygon was found, once */
function flipToDelaunay(uv: Float64Array, triangles: Uint32Array, corners: number): boolean {
  const n = uv.length / 2;
  for (let round = 0; round < 30; round++) {
    const sides = new Map<number, number>();
    for (let h = 0; h < triangles.length; h++) {
      const key = triangles[h]! * n + triangles[onward(h)]!;
      if (sides.has(key)) return false;
      sides.set(key, h);
    }
    let open = 0;
    for (let i = 0; i < corners; i++) if (sides.has(i * n + ((i + 1) % corners))) open++;
    if (open !== corners) return false;
    let flips = 0;
    const touched = new Uint8Array(triangles.length / 3);
    for (const [key, h] of sides) {
      const [a, b] = [Math.floor(key / n), key % n];
      const g = sides.get(b * n + a);
      if (g === undefined || a > b) continue;
      const [t, s] = [Math.floor(h / 3), Math.floor(g / 3)];
      if (touched[t] === 1 || touched[s] === 1) continue;
      const c = triangles[onward(onward(h))]!;
      const d = triangles[onward(onward(g))]!;
      if (sides.has(c * n + d) || sides.has(d * n + c)) continue;
      if (!(turn(uv, c, d, b) > 0 && turn(uv, d, c, a) > 0) || !isInCircle(uv, a, b, c, d)) continue;
      triangles.set([c, d, b], 3 * t);
      triangles.set([d, c, a], 3 * s);
      touched[t] = touched[s] = 1;
      flips++;
    }
    if (flips === 0) return true;
  }
  return true;
}

function onward(h: number): number {
  return h % 3 === 2 ? h - 2 : h + 1;
}

/** Twice the signed area. */
function turn(uv: Float64Array, a: number, b: number, c: number): number {
  const [x, y] = [uv[2 * a]!, uv[2 * a + 1]!];
  return (uv[2 * b]! - x) * (uv[2 * c + 1]! - y) - (uv[2 * c]! - x) * (uv[2 * b + 1]! - y);
}

/** Whether d lies inside the circle through the counter-clockwise a, b, c. */
function isInCircle(uv: Float64Array, a: number, b: number, c: number, d: number): boolean {
  const [x, y] = [uv[2 * d]!, uv[2 * d + 1]!];
  const rows = [a, b, c].map((v) => {
    const [px, py] = [uv[2 * v]! - x, uv[2 * v + 1]! - y];
    return [px, py, px * px + py * py] as const;
  });
  const [[ax, ay, aa], [bx, by, bb], [cx, cy, cc]] = rows as [(typeof rows)[0], (typeof rows)[0], (typeof rows)[0]];
  const size = Math.max(aa, bb, cc);
  return ax * (by * cc - bb * cy) - ay * (bx * cc - bb * cx) + aa * (bx * cy - by * cx) > 1e-9 * size * size;
}
