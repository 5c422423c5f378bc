import { inBatches } from '../base/batches.js';
import type { Patch } from './patch.js';

/**
 * The rim of a patch without building its body: where its triangles pass z = 0, as loops in plan. Seen from above outer
 * loops run counter-clockwise, loops round islands clockwise. Where a patch ends under the scrape surface (at a saddle to
 * another hollow), its own border closes the rim.
 */
export function rimOfPatch(patch: Patch): Float64Array[] {
  const { positions, triangles, centre, loops } = patch;
  const vertices = positions.length / 3;
  const under = (v: number) => positions[3 * v + 2]! < 0;
  // Points of the rim: a vertex at z = 0 is itself, a crossing is named by its side.
  const places = new Map<number, [number, number]>();
  const onward = new Map<number, number[]>();
  const crossing = (a: number, b: number): number => {
    for (const v of [a, b]) {
      if (positions[3 * v + 2] !== 0) continue;
      places.set(v, [positions[3 * v]! + centre[0], positions[3 * v + 1]! + centre[1]]);
      return v;
    }
    const name = vertices + Math.min(a, b) * vertices + Math.max(a, b);
    if (!places.has(name)) {
      const share = positions[3 * a + 2]! / (positions[3 * a + 2]! - positions[3 * b + 2]!);
      const at = (k: number) => positions[3 * a + k]! + share * (positions[3 * b + k]! - positions[3 * a + k]!);
      places.set(name, [at(0) + centre[0], at(1) + centre[1]]);
    }
    return name;
  };
  const join = (from: number, to: number) => {
    if (from === to) return;
    const list = onward.get(from);
    if (list === undefined) onward.set(from, [to]);
    else list.push(to);
  };
  const passing: number[] = [];
  inBatches(triangles.length, (from, to) => addPassing(patch, from, to, passing), 3);
  for (const t of passing) {
    const corners = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!] as const;
    // Going round a triangle that faces up, what lies under zero is on the left from where the way comes up.
    let [up, down] = [-1, -1];
    for (let k = 0; k < 3; k++) {
      const a = corners[k]!;
      const b = corners[(k + 1) % 3]!;
      if (under(a) && !under(b)) up = crossing(a, b);
      if (!under(a) && under(b)) down = crossing(a, b);
    }
    if (up >= 0 && down >= 0) join(up, down);
  }
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i++) {
      const a = loop[i]!;
      const b = loop[(i + 1) % loop.length]!;
      if (!under(a) && !under(b)) continue;
      const from = under(a) ? place(a) : crossing(a, b);
      const to = under(b) ? place(b) : crossing(a, b);
      join(from, to);
    }
  }
  return chain(places, onward);

  function place(v: number): number {
    places.set(v, [positions[3 * v]! + centre[0], positions[3 * v + 1]! + centre[1]]);
    return v;
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

function chain(places: Map<number, [number, number]>, onward: Map<number, number[]>): Float64Array[] {
  const loops: Float64Array[] = [];
  for (const first of onward.keys()) {
    for (;;) {
      const points: number[] = [];
      let at: number | undefined = first;
      do {
        const next: number | undefined = onward.get(at)?.pop();
        if (next === undefined) break;
        points.push(...places.get(at)!);
        at = next;
      } while (at !== first);
      if (points.length < 6) break;
      loops.push(Float64Array.from(points));
    }
  }
  return loops;
}
