import type { AirTrapRecord } from '../base/survey-document.js';
import type { Columns } from './columns.js';
import { MaxHeap } from './max-heap.js';
import { columnOfRuns, forEachNeighbour } from './neighbour-runs.js';
import { UnionFind } from './union-find.js';
import type { WallIndex } from './wall-index.js';

/** A pocket of air that a level rising from below cannot drive out. */
export interface AirPocket extends AirTrapRecord {
  /** From the highest place down to the lip that the air would have to pass under. */
  readonly heightMm: number;
}

/** How many times the noise a lip reads too high. */
const lipShare = 3;

/**
 * Where air stays when a liquid rises through the body. Air gets out of a place if some way from there to the opening
 * never dips below it. The escape height of a run is the highest, over all ways to the opening, of the way's lowest
 * point: a priority flood from the opening (Barnes, Lehman, Mulla 2014, here on the runs of columns and upside down).
 * Air in a run stays above its escape height.
 *
 * @param wall to look between columns, level ones only, for the height of a lip; without it a lip is where the first
 * column behind it has its ceiling
 * @param noiseMm of the wall: air finds the way out where the noise has raised the lip highest, about three times the
 * noise too high (measured: 0.031 mm at 0.01, 0.058 at 0.02), and that is taken off again
 */
export function airPockets(columns: Columns, wall?: WallIndex, noiseMm = 0): AirPocket[] {
  const escapeMm = escapeHeights(columns, wall);
  const { bottomMm, topMm, stepMm } = columns;
  const columnOf = columnOfRuns(columns);
  const floorOf = (run: number) => Math.max(bottomMm[run]!, escapeMm[run]! - lipShare * noiseMm);
  const isTrapped = (run: number) => escapeMm[run]! < topMm[run]!;

  const sets = new UnionFind(topMm.length);
  for (let run = 0; run < topMm.length; run++) {
    if (!isTrapped(run)) continue;
    forEachNeighbour(columns, run, columnOf[run]!, (other) => {
      if (other < run || !isTrapped(other)) return;
      if (Math.max(floorOf(run), floorOf(other)) < Math.min(topMm[run]!, topMm[other]!)) sets.join(run, other);
    });
  }
  const pockets = new Map<number, { volume: number; highest: number; lowest: number }>();
  for (let run = 0; run < topMm.length; run++) {
    if (!isTrapped(run)) continue;
    const root = sets.find(run);
    const pocket = pockets.get(root) ?? { volume: 0, highest: run, lowest: Infinity };
    pocket.volume += (topMm[run]! - floorOf(run)) * stepMm * stepMm;
    pocket.lowest = Math.min(pocket.lowest, floorOf(run));
    if (topMm[run]! > topMm[pocket.highest]!) pocket.highest = run;
    pockets.set(root, pocket);
  }
  return [...pockets.values()].map(({ volume, highest, lowest }) => ({
    volumeMm3: volume,
    heightMm: topMm[highest]! - lowest,
    atMm: columns.place(columnOf[highest]!, topMm[highest]!),
  }));
}

/** Per run, the height from which on downwards its air can leave; -Infinity where no way leads out. */
function escapeHeights(columns: Columns, wall: WallIndex | undefined): Float64Array {
  const { topMm, isOpen } = columns;
  const columnOf = columnOfRuns(columns);
  const escapeMm = new Float64Array(topMm.length).fill(Number.NEGATIVE_INFINITY);
  const heap = new MaxHeap();
  const spread = (run: number): void => {
    forEachNeighbour(columns, run, columnOf[run]!, (other) => {
      // The way passes from run to run at the top of what they share.
      let height = Math.min(escapeMm[run]!, topMm[run]!, topMm[other]!);
      if (height <= escapeMm[other]!) return;
      if (wall !== undefined && Math.abs(topMm[run]! - topMm[other]!) > columns.stepMm) {
        height = Math.min(height, lip(columns, wall, columnOf, run, other));
        if (height <= escapeMm[other]!) return;
      }
      escapeMm[other] = height;
      heap.push(other, height);
    });
  };
  for (let run = 0; run < topMm.length; run++) if (isOpen[run] === 1) escapeMm[run] = topMm[run]!;
  for (let run = 0; run < topMm.length; run++) if (isOpen[run] === 1) spread(run);
  for (let key = heap.topKey, run = heap.pop(); run >= 0; key = heap.topKey, run = heap.pop()) {
    if (key === escapeMm[run]) spread(run);
  }
  return escapeMm;
}

/** Halvings of the way between two columns. */
const halvings = 8;

/** Height of the ceiling where it drops, between two touching runs of very different tops: on the lower side. */
function lip(columns: Columns, wall: WallIndex, columnOf: Uint32Array, run: number, other: number): number {
  const { topMm, bottomMm } = columns;
  const [high, low] = topMm[run]! > topMm[other]! ? [run, other] : [other, run];
  const under = (topMm[low]! + Math.max(bottomMm[low]!, bottomMm[high]!)) / 2;
  const [hx, hy] = columns.place(columnOf[high]!, 0);
  const [lx, ly] = columns.place(columnOf[low]!, 0);
  let from = 0;
  let to = 1;
  let height = topMm[low]!;
  for (let k = 0; k < halvings; k++) {
    const share = (from + to) / 2;
    const ceiling = Math.min(0, wall.ceiling(lx + share * (hx - lx), ly + share * (hy - ly), under));
    if (topMm[high]! - ceiling < Math.abs(ceiling - height)) to = share;
    else {
      from = share;
      height = ceiling;
    }
  }
  return Math.min(height, topMm[low]!);
}

/** Smaller than this, a bubble does not show: common practice, no source. */
const leastTrapMm3 = 0.1;
const leastHeightMm = 0.05;

/** The pockets worth a word: neither bubbles of the mesh nor of its noise. Largest first. */
export function airTraps(columns: Columns, noiseMm: number, wall?: WallIndex): AirPocket[] {
  const leastMm = Math.max(leastHeightMm, 2 * lipShare * noiseMm);
  return airPockets(columns, wall, noiseMm)
    .filter(({ volumeMm3, heightMm }) => volumeMm3 >= leastTrapMm3 && heightMm >= leastMm)
    .sort((a, b) => b.volumeMm3 - a.volumeMm3);
}
