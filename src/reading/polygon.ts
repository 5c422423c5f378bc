import earcut from 'earcut';

/**
 * Triangulates one face, given by the coordinates of its corners in order (stride 3). Always corners - 2 triangles
 * that use every corner and keep the face's turning sense, so that neighbours still meet along whole edges.
 *
 * A convex face is a fan from its first corner, as nearly every program reads it. Any other is cut by ears on its plane
 * of projection: the coordinate plane nearest to its best-fit plane (Newell's normal), where no coordinate is rounded.
 * A face that crosses itself stays a fan: its signed volume is right even so.
 * @param emit takes three corner numbers per triangle
 */
export function triangulate(
  corners: Float64Array,
  count: number,
  emit: (a: number, b: number, c: number) => void,
): void {
  if (count === 3) {
    emit(0, 1, 2);
    return;
  }
  const plan = project(corners, count);
  if (!isConvex(plan)) {
    const pieces = count === 4 ? quadPieces(plan) : earPieces(plan);
    if (pieces !== undefined) {
      for (let i = 0; i < pieces.length; i += 3) emit(pieces[i]!, pieces[i + 1]!, pieces[i + 2]!);
      return;
    }
  }
  for (let corner = 2; corner < count; corner++) emit(0, corner - 1, corner);
}

/** The face in plan, seen so that it turns counter-clockwise; x, y per corner. */
function project(corners: Float64Array, count: number): Float64Array {
  let nx = 0;
  let ny = 0;
  let nz = 0;
  const [x0, y0, z0] = corners as unknown as [number, number, number];
  for (let i = 0, j = count - 1; i < count; j = i++) {
    const ax = corners[3 * j]! - x0;
    const ay = corners[3 * j + 1]! - y0;
    const az = corners[3 * j + 2]! - z0;
    const bx = corners[3 * i]! - x0;
    const by = corners[3 * i + 1]! - y0;
    const bz = corners[3 * i + 2]! - z0;
    nx += ay * bz - az * by;
    ny += az * bx - ax * bz;
    nz += ax * by - ay * bx;
  }
  const axis =
    Math.abs(nx) > Math.abs(ny) ? (Math.abs(nx) > Math.abs(nz) ? 0 : 2) : Math.abs(ny) > Math.abs(nz) ? 1 : 2;
  const flip = [nx, ny, nz][axis]! < 0;
  const u = (axis + (flip ? 2 : 1)) % 3;
  const v = (axis + (flip ? 1 : 2)) % 3;
  const plan = new Float64Array(2 * count);
  for (let i = 0; i < count; i++) {
    plan[2 * i] = corners[3 * i + u]!;
    plan[2 * i + 1] = corners[3 * i + v]!;
  }
  return plan;
}

/** Twice the signed area of a triangle in plan. */
function area2(plan: Float64Array, a: number, b: number, c: number): number {
  const ax = plan[2 * a]!;
  const ay = plan[2 * a + 1]!;
  return (plan[2 * b]! - ax) * (plan[2 * c + 1]! - ay) - (plan[2 * b + 1]! - ay) * (plan[2 * c]! - ax);
}

/** Turns right at no corner, and every triangle of the fan has an area. */
function isConvex(plan: Float64Array): boolean {
  const count = plan.length / 2;
  for (let i = 0; i < count; i++) {
    if (area2(plan, i, (i + 1) % count, (i + 2) % count) < 0) return false;
    if (i >= 2 && area2(plan, 0, i - 1, i) <= 0) return false;
  }
  return true;
}

/** A quad is cut along the diagonal that turns neither half over; one that crosses itself has none. */
function quadPieces(plan: Float64Array): readonly number[] | undefined {
  if (area2(plan, 0, 1, 2) > 0 && area2(plan, 0, 2, 3) > 0) return [0, 1, 2, 0, 2, 3];
  if (area2(plan, 1, 2, 3) > 0 && area2(plan, 1, 3, 0) > 0) return [1, 2, 3, 1, 3, 0];
  return undefined;
}

/** Ears, with the corners put back that earcut leaves out because they lie on a straight edge. */
function earPieces(plan: Float64Array): readonly number[] | undefined {
  const count = plan.length / 2;
  const ears = earcut(plan);
  const pieces: number[] = [];
  for (let i = 0; i < ears.length; i += 3) {
    const [a, b, c] = [ears[i]!, ears[i + 1]!, ears[i + 2]!];
    if (area2(plan, a, b, c) >= 0) pieces.push(a, b, c);
    else pieces.push(a, c, b);
  }
  if (pieces.length < 3 * (count - 2)) putBackLeftOut(pieces, count);
  return hasRim(pieces, count) ? pieces : undefined;
}

/** Splits triangles along boundary edges that skip corners, until every corner of the skipped run is used. */
function putBackLeftOut(pieces: number[], count: number): void {
  const edges = new Set<number>();
  const edge = (from: number, to: number) => from * count + to;
  for (let i = 0; i < pieces.length; i++) edges.add(edge(pieces[i]!, pieces[i % 3 === 2 ? i - 2 : i + 1]!));
  for (let i = 0; i < pieces.length && pieces.length < 3 * (count - 2); ) {
    const side = [0, 1, 2].find((k) => {
      const from = pieces[i + k]!;
      const to = pieces[i + ((k + 1) % 3)]!;
      return to !== (from + 1) % count && !edges.has(edge(to, from));
    });
    if (side === undefined) {
      i += 3;
      continue;
    }
    const from = pieces[i + side]!;
    const to = pieces[i + ((side + 1) % 3)]!;
    const apex = pieces[i + ((side + 2) % 3)]!;
    const next = (from + 1) % count;
    pieces[i] = from;
    pieces[i + 1] = next;
    pieces[i + 2] = apex;
    pieces.push(next, to, apex);
    edges.add(edge(from, next)).add(edge(next, to)).add(edge(next, apex)).add(edge(apex, next));
    edges.delete(edge(from, to));
  }
}

/** Is the boundary of the triangles the face's own outline, each of its edges once? */
function hasRim(pieces: readonly number[], count: number): boolean {
  if (pieces.length !== 3 * (count - 2)) return false;
  const edges = new Set<number>();
  for (let i = 0; i < pieces.length; i++) edges.add(pieces[i]! * count + pieces[i % 3 === 2 ? i - 2 : i + 1]!);
  for (let i = 0; i < count; i++) if (!edges.has(i * count + ((i + 1) % count))) return false;
  return edges.size === pieces.length;
}
