const stack = new Uint32Array(128);

/** What a rim index is made of: flat arrays. */
export interface RimParts {
  /** Per segment x, y of its start and end: stride 4. */
  readonly segments: Float64Array;
  /** Per segment: which loop it belongs to. */
  readonly loopOf: Uint32Array;
  /** Per segment: arc length from the start of its loop to the segment's start, mm. */
  readonly arcMm: Float64Array;
  /** Length of each loop, mm. */
  readonly lengthsMm: Float64Array;
  /** Implicit binary tree over the segments in `order`: xMin, yMin, xMax, yMax per node, node k has children 2k+1, 2k+2. */
  readonly boxes: Float64Array;
  readonly order: Uint32Array;
}

/**
 * Questions in plan to the rim of a cavity: how far is it, what stretch of it is nearest, is a point over the opening.
 * A query for the nearest point leaves it in the `found` fields.
 */
export class RimIndex {
  foundX = 0;
  foundY = 0;
  /** Segment number, counted through all loops. */
  foundSegment = -1;
  readonly segments: Float64Array;
  private readonly boxes: Float64Array;
  private readonly order: Uint32Array;

  /** Over arrays that were built before, perhaps by another thread. */
  constructor(readonly parts: RimParts) {
    this.segments = parts.segments;
    this.boxes = parts.boxes;
    this.order = parts.order;
  }

  /** @param loops closed loops, x, y per point, the first not repeated; outer loops counter-clockwise, islands clockwise */
  static ofLoops(loops: readonly Float64Array[]): RimIndex {
    const count = loops.reduce((sum, loop) => sum + loop.length / 2, 0);
    const segments = new Float64Array(4 * count);
    const loopOf = new Uint32Array(count);
    const arcMm = new Float64Array(count);
    const lengthsMm = new Float64Array(loops.length);
    let k = 0;
    loops.forEach((loop, number) => {
      const points = loop.length / 2;
      let arc = 0;
      for (let i = 0; i < points; i++, k++) {
        const j = (i + 1) % points;
        segments.set([loop[2 * i]!, loop[2 * i + 1]!, loop[2 * j]!, loop[2 * j + 1]!], 4 * k);
        loopOf[k] = number;
        arcMm[k] = arc;
        arc += Math.hypot(loop[2 * j]! - loop[2 * i]!, loop[2 * j + 1]! - loop[2 * i + 1]!);
      }
      lengthsMm[number] = arc;
    });
    return new RimIndex({ segments, loopOf, arcMm, lengthsMm, ...segmentTree(segments) });
  }

  /** @param segments x, y of both ends per segment (stride 4), in no order: enough for distances */
  static ofSegments(segments: Float64Array): RimIndex {
    const count = segments.length / 4;
    const unknown = { loopOf: new Uint32Array(count), arcMm: new Float64Array(count), lengthsMm: new Float64Array(1) };
    return new RimIndex({ segments, ...unknown, ...segmentTree(segments) });
  }

  /** Forgets the last answer, so that the next does not depend on what was asked before. */
  forget(): void {
    this.foundSegment = -1;
  }

  /** Distance in plan to the nearest point of the rim. */
  distance(x: number, y: number): number {
    const count = this.order.length;
    if (count === 0) return Infinity;
    // Questions come from neighbouring places: the last answer is a good first guess.
    let best = this.toSegment(Math.max(0, this.foundSegment), x, y, Infinity);
    // A range of the order is a node; ranges are halved as they were when the tree was built.
    let top = 0;
    stack[0] = 0;
    stack[1] = 0;
    stack[2] = count;
    while (top >= 0) {
      const node = stack[3 * top]!;
      const first = stack[3 * top + 1]!;
      const end = stack[3 * top + 2]!;
      top--;
      if (this.toBox(node, x, y) >= best) continue;
      if (end - first === 1) {
        best = Math.min(best, this.toSegment(this.order[first]!, x, y, best));
        continue;
      }
      const middle = (first + end) >> 1;
      const a = 2 * node + 1;
      const aFirst = this.toBox(a, x, y) < this.toBox(a + 1, x, y);
      for (let turn = 0; turn < 2; turn++) {
        const takeA = (turn === 0) !== aFirst;
        top++;
        stack[3 * top] = takeA ? a : a + 1;
        stack[3 * top + 1] = takeA ? first : middle;
        stack[3 * top + 2] = takeA ? middle : end;
      }
    }
    return Math.sqrt(best);
  }

  /** Is the point over the opening (between outer and island loops)? */
  isInside(x: number, y: number): boolean {
    let inside = false;
    const s = this.segments;
    for (let k = 0; k < s.length; k += 4) {
      if (s[k + 1]! > y === s[k + 3]! > y) continue;
      const lower = s[k + 1]! < s[k + 3]!;
      const [ax, ay, bx, by] = lower
        ? [s[k]!, s[k + 1]!, s[k + 2]!, s[k + 3]!]
        : [s[k + 2]!, s[k + 3]!, s[k]!, s[k + 1]!];
      if ((bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0) inside = !inside;
    }
    return inside;
  }

  private toBox(node: number, x: number, y: number): number {
    const b = this.boxes;
    const o = 4 * node;
    const dx = x < b[o]! ? b[o]! - x : x > b[o + 2]! ? x - b[o + 2]! : 0;
    const dy = y < b[o + 1]! ? b[o + 1]! - y : y > b[o + 3]! ? y - b[o + 3]! : 0;
    return dx * dx + dy * dy;
  }

  private toSegment(k: number, x: number, y: number, best: number): number {
    const s = this.segments;
    const ax = s[4 * k]!;
    const ay = s[4 * k + 1]!;
    const ex = s[4 * k + 2]! - ax;
    const ey = s[4 * k + 3]! - ay;
    const square = ex * ex + ey * ey;
    const t = square === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * ex + (y - ay) * ey) / square));
    const dx = ax + t * ex - x;
    const dy = ay + t * ey - y;
    const result = dx * dx + dy * dy;
    if (result < best) {
      this.foundX = x + dx;
      this.foundY = y + dy;
      this.foundSegment = k;
    }
    return result;
  }
}

function segmentTree(segments: Float64Array): Pick<RimParts, 'boxes' | 'order'> {
  const count = segments.length / 4;
  const order = Uint32Array.from({ length: count }, (_, i) => i);
  // Halving ranges leaves some numbers of the implicit tree unused.
  const boxes = new Float64Array(4 * 2 ** Math.ceil(Math.log2(Math.max(1, count)) + 1));
  if (count > 0) buildNode(segments, boxes, order, 0, 0, count);
  return { boxes, order };
}

function buildNode(
  s: Float64Array,
  boxes: Float64Array,
  order: Uint32Array,
  node: number,
  first: number,
  end: number,
): void {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = first; i < end; i++) {
    const o = 4 * order[i]!;
    x0 = Math.min(x0, s[o]!, s[o + 2]!);
    x1 = Math.max(x1, s[o]!, s[o + 2]!);
    y0 = Math.min(y0, s[o + 1]!, s[o + 3]!);
    y1 = Math.max(y1, s[o + 1]!, s[o + 3]!);
  }
  boxes.set([x0, y0, x1, y1], 4 * node);
  if (end - first === 1) return;
  const axis = x1 - x0 > y1 - y0 ? 0 : 1;
  const centre = (k: number) => s[4 * k + axis]! + s[4 * k + 2 + axis]!;
  order.subarray(first, end).sort((a, b) => centre(a) - centre(b));
  const middle = (first + end) >> 1;
  buildNode(s, boxes, order, 2 * node + 1, first, middle);
  buildNode(s, boxes, order, 2 * node + 2, middle, end);
}
