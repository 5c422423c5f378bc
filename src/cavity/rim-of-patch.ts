import { inBatches } from '../base/batches.js';
import type { Patch } from './patch.js';

/**
 * The rim of a patch without building its body: where its triangles pass z = 0, as loops in plan. Seen from above outer
 * loops run counter-clockwise, loops round islands clockwise. Where a patch ends under the scrape surface (at a saddle to
 * another hollow), its own border closes the rim.
 */
export function rimOfPatch(patch: Patch): Float64Array[] {
  const { triangles, loops } = patch;
  const rim = new Rim(patch);
  const passing: number[] = [];
  inBatches(triangles.length, (from, to) => addPassing(patch, from, to, passing), 3);
  for (const t of passing) rim.addTriangle(triangles[t]!, triangles[t + 1]!, triangles[t + 2]!);
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i++) rim.addBorder(loop[i]!, loop[i + 1 < loop.length ? i + 1 : 0]!);
  }
  return rim.chain();
}

/**
 * The pieces of a rim, in no order, and the loops they make. A class rather than functions in a function: these would be
 * other functions for every patch, and what was compiled for one would not do for the next.
 */
class Rim {
  /** Points of the rim: a vertex at z = 0 is itself, a crossing is named by its side. */
  private readonly places = new Map<number, readonly [number, number]>();
  private readonly onward = new Map<number, number[]>();
  private readonly positions: Float64Array;
  private readonly vertices: number;
  private readonly centre: readonly [number, number];

  constructor({ positions, centre }: Patch) {
    this.positions = positions;
    this.vertices = positions.length / 3;
    this.centre = centre;
  }

  addTriangle(a: number, b: number, c: number): void {
    const underA = this.isUnder(a);
    const underB = this.isUnder(b);
    const underC = this.isUnder(c);
    // Going round a triangle that faces up, what lies under zero is on the left from where the way comes up.
    const up = underA && !underB ? this.crossing(a, b) : underB && !underC ? this.crossing(b, c) : this.crossing(c, a);
    const down =
      underB && !underA ? this.crossing(a, b) : underC && !underB ? this.crossing(b, c) : this.crossing(c, a);
    this.join(up, down);
  }

  /** A piece of the patch's border: what of it lies under zero. */
  addBorder(a: number, b: number): void {
    const underA = this.isUnder(a);
    const underB = this.isUnder(b);
    if (!underA && !underB) return;
    this.join(underA ? this.vertex(a) : this.crossing(a, b), underB ? this.vertex(b) : this.crossing(a, b));
  }

  chain(): Float64Array[] {
    const { places, onward } = this;
    const loops: Float64Array[] = [];
    for (const first of onward.keys()) {
      for (;;) {
        const points: number[] = [];
        let at: number | undefined = first;
        do {
          const next: number | undefined = onward.get(at)?.pop();
          if (next === undefined) break;
          const place = places.get(at)!;
          points.push(place[0], place[1]);
          at = next;
        } while (at !== first);
        if (points.length < 6) break;
        loops.push(Float64Array.from(points));
      }
    }
    return loops;
  }

  private isUnder(v: number): boolean {
    return this.positions[3 * v + 2]! < 0;
  }

  private vertex(v: number): number {
    this.put(v, this.positions[3 * v]!, this.positions[3 * v + 1]!);
    return v;
  }

  private crossing(a: number, b: number): number {
    const { positions: p, vertices } = this;
    const za = p[3 * a + 2]!;
    const zb = p[3 * b + 2]!;
    if (za === 0) return this.vertex(a);
    if (zb === 0) return this.vertex(b);
    const name = vertices + Math.min(a, b) * vertices + Math.max(a, b);
    if (this.places.has(name)) return name;
    const share = za / (za - zb);
    const ax = p[3 * a]!;
    const ay = p[3 * a + 1]!;
    this.put(name, ax + share * (p[3 * b]! - ax), ay + share * (p[3 * b + 1]! - ay));
    return name;
  }

  /** @param x y from the patch's middle */
  private put(name: number, x: number, y: number): void {
    this.places.set(name, [x + this.centre[0], y + this.centre[1]]);
  }

  private join(from: number, to: number): void {
    if (from === to) return;
    const list = this.onward.get(from);
    if (list === undefined) this.onward.set(from, [to]);
    else list.push(to);
  }
}

/** Finds the triangles that pass z = 0 among those with corners `from` to `to`: few of a wall. */
function addPassing({ positions, triangles }: Patch, from: number, to: number, found: number[]): void {
  for (let t = from; t < to; t += 3) {
    const isUnder = positions[3 * triangles[t]! + 2]! < 0;
    const isNextUnder = positions[3 * triangles[t + 1]! + 2]! < 0;
    const isLastUnder = positions[3 * triangles[t + 2]! + 2]! < 0;
    if (isUnder !== isNextUnder || isUnder !== isLastUnder) found.push(t);
  }
}
