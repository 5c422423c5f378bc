/** Feathers are followed this far outward from the contour, and the straight wall this far inward, mm. */
export const outMm = 9;
const inMm = 4;

/** Heights near the depth contour of one hollow. */
export class RimHeights {
  count = 0;
  /** Per height the number of the contour's point that is nearest. */
  readonly nodes: Uint32Array;
  /** Distance from the contour, positive outward, mm. */
  readonly s: Float64Array;
  /** The raw height over the scrape surface, mm. */
  readonly z: Float64Array;
  /** Depth by the denoised height, mm: the raw one would choose its own noise. */
  readonly depth: Float64Array;

  constructor(most: number) {
    this.nodes = new Uint32Array(most);
    this.s = new Float64Array(most);
    this.z = new Float64Array(most);
    this.depth = new Float64Array(most);
  }

  clear(): void {
    this.count = 0;
  }

  add(node: number, s: number, z: number, depth: number): void {
    if (s < -inMm || s > outMm) return;
    this.nodes[this.count] = node;
    this.s[this.count] = s;
    this.z[this.count] = z;
    this.depth[this.count++] = depth;
  }

  /** The heights grouped by point of the contour: point k has `order[start[k]] … order[start[k + 1] - 1]`. */
  byNode(nodes: number): { start: Uint32Array; order: Uint32Array } {
    const start = new Uint32Array(nodes + 1);
    for (let i = 0; i < this.count; i++) start[this.nodes[i]! + 1]!++;
    for (let k = 0; k < nodes; k++) start[k + 1]! += start[k]!;
    const order = new Uint32Array(this.count);
    const filled = start.slice();
    for (let i = 0; i < this.count; i++) order[filled[this.nodes[i]!]!++] = i;
    return { start, order };
  }
}

/** The heights along a stretch of the contour. */
export interface PooledHeights {
  readonly count: number;
  readonly s: Float64Array;
  readonly z: Float64Array;
  readonly depth: Float64Array;
}
