import { nextHalfEdge, oppositeHalfEdges } from '../mesh/half-edges.js';
import { type ClosedMesh, type TrimmedSolid, trimUnderZero } from '../mesh/solid.js';
import type { FillBody } from './fill-body.js';
import type { Patch } from './patch.js';
import { smoothLoop } from './smooth-loop.js';

/**
 * Closes a patch to a solid and cuts it at the scrape surface. Each border of the patch gets a vertical skirt up to over
 * the scrape surface and a tent above it. The tent may run through itself there; the cut takes it away.
 * @returns the fill body in the plate frame with its volume, or null where the patch cannot be closed
 */
export async function buildFillBody(
  patch: Patch,
  noiseMm: number,
): Promise<{ body: FillBody; volumeMm3: number } | null> {
  if (patch.loops.length === 0) return null;
  const solid = await trimUnderZero(closeUpward(patch));
  if (solid === null || !(solid.volumeMm3 > 0)) return null;
  return { body: sortFaces(solid, patch.centre, noiseMm), volumeMm3: solid.volumeMm3 };
}

function closeUpward(patch: Patch): ClosedMesh {
  const vertices = patch.positions.length / 3;
  const around = patch.loops.reduce((sum, loop) => sum + loop.length, 0);
  const positions = new Float64Array(3 * (vertices + around + patch.loops.length));
  positions.set(patch.positions);
  const triangles = new Uint32Array(patch.triangles.length + 9 * around);
  let top = 1;
  for (let i = 2; i < patch.positions.length; i += 3) top = Math.max(top, patch.positions[i]! + 1);
  // Seen from inside the silicone the wall runs the other way round.
  let at = 0;
  for (let t = 0; t < patch.triangles.length; t += 3) {
    triangles[at++] = patch.triangles[t]!;
    triangles[at++] = patch.triangles[t + 2]!;
    triangles[at++] = patch.triangles[t + 1]!;
  }
  let free = vertices;
  for (const loop of patch.loops) {
    const first = free;
    const apex = first + loop.length;
    let [sumX, sumY] = [0, 0];
    for (let i = 0; i < loop.length; i++) {
      const v = loop[i]!;
      const x = patch.positions[3 * v]!;
      const y = patch.positions[3 * v + 1]!;
      positions.set([x, y, top], 3 * (first + i));
      sumX += x;
      sumY += y;
    }
    positions.set([sumX / loop.length, sumY / loop.length, top + 1], 3 * apex);
    for (let i = 0; i < loop.length; i++) {
      const j = (i + 1) % loop.length;
      const [low, lowNext, high, highNext] = [loop[i]!, loop[j]!, first + i, first + j];
      for (const v of [low, lowNext, highNext, low, highNext, high, high, highNext, apex]) triangles[at++] = v;
    }
    free = apex + 1;
  }
  return { positions, triangles };
}

/** Faces that lie in the cut come last; the rim is what parts them from the wall. */
function sortFaces(solid: TrimmedSolid, centre: readonly [number, number], noiseMm: number): FillBody {
  const { triangles } = solid;
  const positions = solid.positions.slice();
  const isLid = (t: number) =>
    positions[3 * triangles[t]! + 2] === 0 &&
    positions[3 * triangles[t + 1]! + 2] === 0 &&
    positions[3 * triangles[t + 2]! + 2] === 0;
  const sorted = new Uint32Array(triangles.length);
  let at = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    if (isLid(t)) continue;
    sorted.set(triangles.subarray(t, t + 3), at);
    at += 3;
  }
  const wallTriangles = at / 3;
  for (let t = 0; t < triangles.length; t += 3) {
    if (!isLid(t)) continue;
    sorted.set(triangles.subarray(t, t + 3), at);
    at += 3;
  }
  const opposite = oppositeHalfEdges(sorted, positions.length / 3);
  for (let v = 0; v < positions.length; v += 3) {
    positions[v]! += centre[0];
    positions[v + 1]! += centre[1];
  }
  return {
    positions,
    triangles: sorted,
    wallTriangles,
    rimLoops: calmLoops(lidBorder(positions, sorted, wallTriangles, opposite), noiseMm),
    noiseMm,
  };
}

/** Under noise the rim jitters from vertex to vertex: it is averaged over at most half a millimetre. */
export function calmLoops(loops: Float64Array[], noiseMm: number): Float64Array[] {
  return noiseMm > 0 ? loops.map((loop) => smoothLoop(loop, Math.min(0.5, 0.1 + 10 * noiseMm))) : loops;
}

/** The borders of the lid, which faces up: outer loops run counter-clockwise. */
function lidBorder(
  positions: Float64Array,
  triangles: Uint32Array,
  wallTriangles: number,
  opposite: Int32Array,
): Float64Array[] {
  const border: number[] = [];
  const onward = new Map<number, number[]>();
  for (let h = 3 * wallTriangles; h < triangles.length; h++) {
    if (opposite[h]! >= 3 * wallTriangles) continue;
    border.push(h);
    const from = triangles[h]!;
    const list = onward.get(from);
    if (list === undefined) onward.set(from, [h]);
    else list.push(h);
  }
  const used = new Set<number>();
  const loops: Float64Array[] = [];
  for (const first of border) {
    if (used.has(first)) continue;
    const points: number[] = [];
    let h: number | undefined = first;
    while (h !== undefined && !used.has(h)) {
      used.add(h);
      const v: number = triangles[h]!;
      points.push(positions[3 * v]!, positions[3 * v + 1]!);
      h = onward.get(triangles[nextHalfEdge(h)]!)?.find((candidate) => !used.has(candidate));
    }
    if (points.length >= 6) loops.push(Float64Array.from(points));
  }
  return loops;
}
