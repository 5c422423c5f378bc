/**
 * Distances to closed loops in the plane. Segments are kept in runs with boxes round them, so that far runs are passed
 * over. Loops are flat arrays, x and y per point, the first point not repeated.
 */
export interface LoopIndex {
  /** x0, y0, x1, y1 per segment: stride 4. */
  readonly segments: Float64Array;
  /** xMin, yMin, xMax, yMax per run of `runLength` segments: stride 4. */
  readonly boxes: Float64Array;
  readonly bounds: readonly [number, number, number, number];
}

const runLength = 16;

export function indexLoops(loops: readonly Float64Array[]): LoopIndex {
  const count = loops.reduce((sum, loop) => sum + loop.length / 2, 0);
  const segments = new Float64Array(4 * count);
  let at = 0;
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i += 2) {
      const j = (i + 2) % loop.length;
      segments[at++] = loop[i]!;
      segments[at++] = loop[i + 1]!;
      segments[at++] = loop[j]!;
      segments[at++] = loop[j + 1]!;
    }
  }
  const boxes = new Float64Array(4 * Math.ceil(count / runLength));
  const bounds: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let run = 0; run < boxes.length / 4; run++) {
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    for (let s = run * runLength; s < Math.min(count, (run + 1) * runLength); s++) {
      box[0] = Math.min(box[0]!, segments[4 * s]!, segments[4 * s + 2]!);
      box[1] = Math.min(box[1]!, segments[4 * s + 1]!, segments[4 * s + 3]!);
      box[2] = Math.max(box[2]!, segments[4 * s]!, segments[4 * s + 2]!);
      box[3] = Math.max(box[3]!, segments[4 * s + 1]!, segments[4 * s + 3]!);
    }
    boxes.set(box, 4 * run);
    bounds[0] = Math.min(bounds[0], box[0]!);
    bounds[1] = Math.min(bounds[1], box[1]!);
    bounds[2] = Math.max(bounds[2], box[2]!);
    bounds[3] = Math.max(bounds[3], box[3]!);
  }
  return { segments, boxes, bounds };
}

/** Distance from a point to the nearest segment; `limit` where none is nearer than it. */
export function distanceToLoops(index: LoopIndex, x: number, y: number, limit = Number.POSITIVE_INFINITY): number {
  const { segments, boxes } = index;
  let best = limit * limit;
  for (let run = 0; run < boxes.length / 4; run++) {
    if (boxDistance2(boxes, run, x, y, x, y) >= best) continue;
    const end = Math.min(segments.length / 4, (run + 1) * runLength);
    for (let s = run * runLength; s < end; s++) best = Math.min(best, pointSegment2(segments, s, x, y));
  }
  return Math.sqrt(best);
}

/** Least distance between two sets of loops that do not cross; `limit` where it is not under it. */
export function distanceBetweenLoops(a: LoopIndex, b: LoopIndex, limit = Number.POSITIVE_INFINITY): number {
  let best = limit * limit;
  for (let run = 0; run < a.boxes.length / 4; run++) {
    const x0 = a.boxes[4 * run]!;
    const y0 = a.boxes[4 * run + 1]!;
    const x1 = a.boxes[4 * run + 2]!;
    const y1 = a.boxes[4 * run + 3]!;
    for (let other = 0; other < b.boxes.length / 4; other++) {
      if (boxDistance2(b.boxes, other, x0, y0, x1, y1) >= best) continue;
      // Of two segments that do not cross, one end is nearest: each end against the other segment.
      best = nearestEnd(a.segments, run, b.segments, other, best);
      best = nearestEnd(b.segments, other, a.segments, run, best);
    }
  }
  return Math.sqrt(best);
}

/** Square of the least distance of the ends of one run's segments from those of another, or `limit` where that is less. */
function nearestEnd(from: Float64Array, fromRun: number, to: Float64Array, toRun: number, limit: number): number {
  const end = Math.min(from.length / 4, (fromRun + 1) * runLength);
  const toEnd = Math.min(to.length / 4, (toRun + 1) * runLength);
  let nearest = limit;
  for (let s = fromRun * runLength; s < end; s++) {
    for (let q = toRun * runLength; q < toEnd; q++) {
      nearest = Math.min(
        nearest,
        pointSegment2(to, q, from[4 * s]!, from[4 * s + 1]!),
        pointSegment2(to, q, from[4 * s + 2]!, from[4 * s + 3]!),
      );
    }
  }
  return nearest;
}

/** Least distance that the boxes round two sets of loops allow. */
export function distanceOfBounds(a: LoopIndex, b: LoopIndex): number {
  const [x0, y0, x1, y1] = a.bounds;
  const [u0, v0, u1, v1] = b.bounds;
  return Math.hypot(Math.max(u0 - x1, 0, x0 - u1), Math.max(v0 - y1, 0, y0 - v1));
}

function boxDistance2(boxes: Float64Array, run: number, x0: number, y0: number, x1: number, y1: number): number {
  const dx = Math.max(boxes[4 * run]! - x1, 0, x0 - boxes[4 * run + 2]!);
  const dy = Math.max(boxes[4 * run + 1]! - y1, 0, y0 - boxes[4 * run + 3]!);
  return dx * dx + dy * dy;
}

function pointSegment2(segments: Float64Array, s: number, x: number, y: number): number {
  const ax = segments[4 * s]!;
  const ay = segments[4 * s + 1]!;
  const dx = segments[4 * s + 2]! - ax;
  const dy = segments[4 * s + 3]! - ay;
  const length2 = dx * dx + dy * dy;
  const t = length2 > 0 ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / length2)) : 0;
  const ex = ax + t * dx - x;
  const ey = ay + t * dy - y;
  return ex * ex + ey * ey;
}
