import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { deepestFirst } from './deepest-first.js';
import { type DepthRaster, depthRaster, toOutside } from './depth-raster.js';
import type { HollowSurface } from './find-hollows.js';
import type { WallField } from './wall-field.js';

/** Two pits of one hollow and the channel between them: places in the plate frame, mm. */
export interface Join {
  /** Middles of the pits: their places farthest from the rim. */
  readonly pits: readonly [readonly [x: number, y: number], readonly [x: number, y: number]];
  /** The narrowest place of the channel, and its depth there. */
  readonly atMm: readonly [x: number, y: number];
  readonly depthMm: number;
}

/** A hollow with the pits that a channel joins, and its parts where it is cut there; without joins its only part is itself. */
export interface JoinedHollow {
  readonly uncut: HollowSurface;
  readonly joins: readonly Join[];
  readonly parts: readonly HollowSurface[];
}

/*
 * A channel joins two pits where it is far shallower than the shallower of them and far narrower than the narrower; what
 * is as deep or as wide as the pits is the shape of one piece. A pit under the size of a mark is relief. (Common
 * practice, no source.)
 */
const depthShare = 0.6;
const widthShare = 0.5;
const leastPitMm2 = 20;

/**
 * Finds pits that a channel joins, by a flood of the depth field from the deepest cell upward: where two pits meet is
 * the saddle between them (watershed; Barnes, Lehman, Mulla 2014 for the flood).
 */
export function joinedPits(mesh: TriangleMesh, wall: WallField, surface: HollowSurface): JoinedHollow {
  const raster = depthRaster(mesh, wall.calm, surface.wall);
  const { depth } = raster;
  const order = deepestFirst(depth);
  // Most hollows have no saddle that is shallow enough, which shows before any width is known.
  let flood = new Flood(raster, null);
  if (!flood.run(order)) {
    flood = new Flood(raster, toOutside(raster));
    flood.run(order);
  }
  const { saddles, parent, widest } = flood;
  const root = (cell: number) => flood.root(cell);
  if (saddles.length === 0) return { uncut: surface, joins: [], parts: [surface] };
  const joins = saddles.map(({ a, b, cell }): Join => {
    const place = (at: number) => raster.place(at);
    return {
      pits: [place(widest[root(a)]!), place(widest[root(b)]!)],
      atMm: place(cell),
      depthMm: depth[cell]!,
    };
  });
  return { uncut: surface, joins, parts: parted(mesh, surface, raster, parent, root) };
}

/** Two pits that were not put together, by a cell of each, and the cell where they meet. */
interface Saddle {
  readonly a: number;
  readonly b: number;
  readonly cell: number;
}

/** A flood of the depth field: pits that grow and are put together where they meet. */
class Flood {
  readonly saddles: Saddle[] = [];
  /** Per cell another cell of its pit, the pit's deepest itself; -1 where there is no depth. */
  readonly parent: Int32Array;
  /** Of each pit, at its deepest cell: the cell farthest from the opening's outside. */
  readonly widest: Uint32Array;
  /** Of each pit, at its deepest cell: how many cells it has. */
  private readonly cells: Uint32Array;
  private readonly depth: Float64Array;
  private readonly columns: number;
  private readonly leastCells: number;
  /** Pits that meet in a cell. */
  private readonly met = new Int32Array(4);

  /** @param away distance of each cell from the opening's outside, mm */
  constructor(
    { columns, depth, cellMm }: DepthRaster,
    private readonly away: Float64Array | null,
  ) {
    this.depth = depth;
    this.columns = columns;
    this.parent = new Int32Array(depth.length).fill(-1);
    this.widest = new Uint32Array(depth.length);
    this.cells = new Uint32Array(depth.length);
    this.leastCells = leastPitMm2 / (cellMm * cellMm);
  }

  /**
   * @param order the cells that have a depth, the deepest first
   * @returns false where it takes widths to tell a channel and none are given
   */
  run(order: Uint32Array): boolean {
    for (let i = 0; i < order.length; i++) if (!this.add(order[i]!)) return false;
    return true;
  }

  root(cell: number): number {
    const { parent } = this;
    let at = cell;
    while (parent[at] !== at) at = parent[at] = parent[parent[at]!]!;
    return at;
  }

  private add(cell: number): boolean {
    const { parent, widest, cells, depth, met, columns } = this;
    let best = -1;
    let count = 0;
    for (let side = 0; side < 4; side++) {
      const next = side === 0 ? cell - 1 : side === 1 ? cell + 1 : side === 2 ? cell - columns : cell + columns;
      if (parent[next]! < 0) continue;
      const pit = this.root(next);
      let known = 0;
      while (known < count && met[known] !== pit) known++;
      if (known === count) met[count++] = pit;
      if (best < 0 || depth[next]! > depth[best]!) best = next;
    }
    if (best < 0) {
      parent[cell] = widest[cell] = cell;
      cells[cell] = 1;
      return true;
    }
    const own = this.root(best);
    parent[cell] = own;
    cells[own]!++;
    widest[own] = this.wider(widest[own]!, cell);
    return count === 1 || this.meet(own, cell, count);
  }

  /** Puts the pits together that meet in a cell of one of them, where there is no channel. */
  private meet(first: number, cell: number, count: number): boolean {
    const { parent, widest, cells, depth, met, away, saddles } = this;
    let own = first;
    for (let k = 0; k < count; k++) {
      const other = met[k]!;
      if (other === own) continue;
      if (this.isShallow(own, other, cell)) {
        if (away === null) return false;
        if (away[cell]! < widthShare * Math.min(away[widest[own]!]!, away[widest[other]!]!)) {
          const isKnown = saddles.some(({ a, b }) => isPair(this.root(a), this.root(b), own, other));
          if (!isKnown) saddles.push({ a: own, b: other, cell });
          continue;
        }
      }
      const isDeeper = depth[own]! >= depth[other]!;
      const into = isDeeper ? own : other;
      const from = isDeeper ? other : own;
      parent[from] = into;
      cells[into]! += cells[from]!;
      widest[into] = this.wider(widest[into]!, widest[from]!);
      own = into;
    }
    return true;
  }

  private wider(one: number, other: number): number {
    return this.away !== null && this.away[other]! > this.away[one]! ? other : one;
  }

  private isShallow(a: number, b: number, cell: number): boolean {
    const { cells, depth, leastCells } = this;
    return (
      cells[a]! >= leastCells && cells[b]! >= leastCells && depth[cell]! <= depthShare * Math.min(depth[a]!, depth[b]!)
    );
  }
}

function isPair(a: number, b: number, c: number, d: number): boolean {
  return (a === c && b === d) || (a === d && b === c);
}

/** The four neighbours of a cell; the raster's outermost cells are empty, so that none lies outside it. */
function around(cell: number, columns: number, count: number): number[] {
  return [cell - 1, cell + 1, cell - columns, cell + columns].filter((next) => next >= 0 && next < count);
}

/** The hollow's triangles by the pit that their middle lies in; what lies outside the opening goes to the nearest pit. */
function parted(
  mesh: TriangleMesh,
  surface: HollowSurface,
  raster: DepthRaster,
  parent: Int32Array,
  root: (cell: number) => number,
): HollowSurface[] {
  const label = Int32Array.from(parent, (at, cell) => (at < 0 ? -1 : root(cell)));
  let front = [...label.keys()].filter((cell) => label[cell]! >= 0);
  while (front.length > 0) {
    const next: number[] = [];
    for (const cell of front) {
      for (const other of around(cell, raster.columns, label.length)) {
        if (label[other]! >= 0) continue;
        label[other] = label[cell]!;
        next.push(other);
      }
    }
    front = next;
  }
  const { positions: p, triangles } = mesh;
  const middle = (t: number, axis: number) =>
    (p[3 * triangles[3 * t]! + axis]! + p[3 * triangles[3 * t + 1]! + axis]! + p[3 * triangles[3 * t + 2]! + axis]!) /
    3;
  const labelOf = (t: number) => label[raster.cellAt(middle(t, 0), middle(t, 1))]!;
  const labels = [...new Set(Array.from(surface.wall, labelOf))];
  return labels.map((own) => ({
    wall: surface.wall.filter((t) => labelOf(t) === own),
    integral: surface.integral.filter((t) => labelOf(t) === own),
    runsOut: surface.runsOut,
  }));
}
