import type { FillBody } from '../cavity/fill-body.js';
import { columnsOf } from './columns.js';
import { levelSection } from './level-section.js';
import { distanceToMarked } from './plan-distance.js';
import { RimIndex } from './rim-index.js';

const mostLevels = 40;
const leastLevelMm = 0.05;

/** The search runs on a coarse grid; the two widths that it ends with are measured on exact sections. */
const mostColumns = 15_000;
const leastStepMm = 0.05;

/** A part with less of it under wall is open: the rest is roughness of its walls. */
const leastShare = 0.01;

interface Part {
  readonly level: number;
  readonly width: number;
  /** Where the largest circle is centred: column. */
  readonly column: number;
  /** The narrowest part on the widest way up from here. */
  readonly neck: Part | null;
  /** Does a way lead up to the opening? A ring of ceiling that rises outward has none, but only one down and round. */
  readonly isJoined: boolean;
}

/** Width that the widest way up lets pass, this part included. */
const passes = (part: Part): number => Math.min(part.width, part.neck?.width ?? Infinity);

/**
 * The neck over a body's undercut, and how much wider than it the body is below.
 *
 * Works down from the opening, level by level: connected parts of the section, the width of each that of its largest
 * circle. The neck of a part is the narrowest width on the widest way up from it.
 */
export function neckAndStretch(body: FillBody): { neckMm: number | null; stretchPct: number | null } {
  const columns = columnsOf(body, mostColumns, leastStepMm);
  const { starts, bottomMm, topMm, isOpen, across, along, stepMm } = columns;
  const deepest = bottomMm.reduce((low, z) => Math.min(low, z), 0);
  const levels = Math.max(2, Math.min(mostLevels, Math.round(-deepest / leastLevelMm)));
  const heightOf = (level: number) => (deepest * (level + 0.5)) / levels;

  let above: { runOf: Int32Array; partOf: Int32Array; parts: Part[] } | null = null;
  let worst: { below: Part; neck: Part } | null = null;
  for (let level = 0; level < levels; level++) {
    const z = heightOf(level);
    const runOf = new Int32Array(across * along).fill(-1);
    for (let c = 0; c < runOf.length; c++) {
      for (let run = starts[c]!; run < starts[c + 1]!; run++) if (bottomMm[run]! < z && topMm[run]! > z) runOf[c] = run;
    }
    const { partOf, widest } = label(runOf, across, along);
    const from = Array.from(widest, (): Part | null => null);
    const underWall = new Uint32Array(widest.length);
    const cellsOf = new Uint32Array(widest.length);
    const joined = new Uint8Array(widest.length);
    for (let c = 0; c < runOf.length; c++) {
      if (partOf[c]! < 0) continue;
      cellsOf[partOf[c]!]!++;
      if (isOpen[runOf[c]!] === 1) joined[partOf[c]!] = 1;
      else underWall[partOf[c]!]!++;
      if (above === null || above.runOf[c] !== runOf[c]) continue;
      const parent = above.parts[above.partOf[c]!]!;
      if (!parent.isJoined) continue;
      const known = from[partOf[c]!]!;
      if (known === null || passes(parent) > passes(known)) from[partOf[c]!] = parent;
    }
    const parts = widest.map(({ cells, column }, k): Part => {
      const parent = from[k]!;
      const neck = parent?.neck && parent.neck.width <= parent.width ? parent.neck : parent;
      return { level, width: (2 * cells - 1) * stepMm, column, neck, isJoined: parent !== null || joined[k] === 1 };
    });
    parts.forEach((part, k) => {
      const { neck } = part;
      if (neck === null || underWall[k]! < leastShare * cellsOf[k]!) return;
      if (worst === null || part.width / neck.width > worst.below.width / worst.neck.width)
        worst = { below: part, neck };
    });
    above = { runOf, partOf, parts };
  }
  if (worst === null) return { neckMm: null, stretchPct: 0 };
  const { below, neck } = worst as { below: Part; neck: Part };
  const exact = (part: Part) => circleAt(body, heightOf(part.level), columns.place(part.column, 0), stepMm, part.width);
  const neckMm = exact(neck);
  return { neckMm, stretchPct: Math.max(0, 100 * (exact(below) / neckMm - 1)) };
}

/** Connected parts of a section, and of each the cell farthest from its outside with that distance in cells. */
function label(
  runOf: Int32Array,
  across: number,
  along: number,
): { partOf: Int32Array; widest: { cells: number; column: number }[] } {
  const partOf = new Int32Array(runOf.length).fill(-1);
  // A margin of one cell, so that the grid's border is outside as well.
  const wide = across + 2;
  const outside = new Uint8Array(wide * (along + 2)).fill(1);
  for (let c = 0; c < runOf.length; c++) {
    if (runOf[c]! >= 0) outside[(c % across) + 1 + wide * (Math.floor(c / across) + 1)] = 0;
  }
  const distance = distanceToMarked(outside, wide, along + 2);
  const widest: { cells: number; column: number }[] = [];
  const stack: number[] = [];
  for (let seed = 0; seed < runOf.length; seed++) {
    if (runOf[seed]! < 0 || partOf[seed]! >= 0) continue;
    const part = { cells: 0, column: seed };
    partOf[seed] = widest.length;
    stack.push(seed);
    for (let c = stack.pop(); c !== undefined; c = stack.pop()) {
      const i = c % across;
      const cells = distance[i + 1 + wide * (Math.floor(c / across) + 1)]!;
      if (cells > part.cells) Object.assign(part, { cells, column: c });
      for (let side = 0; side < 4; side++) {
        if (side === 0 ? i === 0 : side === 1 && i + 1 === across) continue;
        const next = c + (side === 0 ? -1 : side === 1 ? 1 : side === 2 ? -across : across);
        if (next < 0 || next >= runOf.length || runOf[next]! < 0 || partOf[next]! >= 0) continue;
        partOf[next] = widest.length;
        stack.push(next);
      }
    }
    widest.push(part);
  }
  return { partOf, widest };
}

/** Diameter of the largest circle in the exact section, climbing from the best cell of the grid. */
function circleAt(
  body: FillBody,
  heightMm: number,
  [x0, y0]: readonly [number, number, number],
  stepMm: number,
  gridWidth: number,
): number {
  const outline = RimIndex.ofSegments(levelSection(body, heightMm));
  let [x, y] = [x0, y0];
  let radius = outline.distance(x, y);
  for (let step = stepMm; step > 1e-4 * gridWidth; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false;
      for (let k = 0; k < 8; k++) {
        const [nx, ny] = [x + step * Math.cos((k * Math.PI) / 4), y + step * Math.sin((k * Math.PI) / 4)];
        const reached = outline.distance(nx, ny);
        if (reached > radius * (1 + 1e-9)) {
          [x, y, radius] = [nx, ny, reached];
          moved = true;
        }
      }
    }
  }
  return 2 * radius;
}
