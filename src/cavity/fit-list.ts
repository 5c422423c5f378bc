import { type Likeness, measureDifference, spreadDifference } from './alike.js';

/*
 * How a list of places lies on a plate. The frame of a new scan may be turned by half a turn against that of the old
 * one, on a nearly square plate by a quarter, and moved by some millimetres where the border is ragged, or by more where
 * a part of the plate is missing. Every turn is tried, from the frame's own place and from the places for which most
 * pairs vote; every way costs the squared misfit of place and shape of its pairs, and a fixed amount for whatever is
 * left over.
 */

export interface ListedPlace extends Likeness {
  readonly centreMm: readonly [number, number];
}

export interface FoundPlace extends Likeness {
  readonly centreMm: readonly [number, number];
}

/** One way to lay the list on the plate. */
export interface Way {
  /** Turn of the list, degrees: 0, 90, 180 or 270. */
  readonly turnDeg: number;
  /** Misfit in squared standard deviations. */
  readonly cost: number;
  /** Number of the found place per listed one; -1 where there is none. */
  readonly foundOf: Int32Array;
  /** The same the other way round. */
  readonly listedOf: Int32Array;
  /** Misfit per pair, row by row of the listed ones; Infinity where they cannot be the same. */
  readonly misfits: Float64Array;
}

/** Misfit from which two are not the same at all; a pair costs as much as leaving both over. */
const leftOverCost = 8;
const mostPlaceMisfit = 2 * leftOverCost;
/** A dent or a repair must not outweigh everything else: a shape's misfit counts at most so much. */
const mostShapeMisfit = 9;
/** Three standard deviations each in volume, opening, depth and spread are another piece. */
const otherPiece = 100;
/** A place from a survey; one without measures is taken from a ruler, and good to a quarter of the opening's radius. */
const surveyedSigmaMm = 1.5;
const frameShiftSigmaMm = 5;
/** On average over the pairs. Places drawn at random stay under it on 3 of 200 plates of twelve, on 1 in 10 of six. */
const ruledMisfit = 2.5;
/** A plate is nearly square where its sides differ by less than a ragged border takes. */
const squareMm = 5;
const squareShare = 0.03;
const mostTurn = (4 * Math.PI) / 180;

interface Motion {
  readonly angle: number;
  readonly x: number;
  readonly y: number;
}

/** All ways to lay the list on the plate, the best first. */
export function waysToFit(
  listed: readonly ListedPlace[],
  found: readonly FoundPlace[],
  plate: { readonly lengthMm: number; readonly widthMm: number },
): Way[] {
  const { lengthMm, widthMm } = plate;
  const square = Math.abs(lengthMm - widthMm) <= Math.max(squareMm, squareShare * lengthMm);
  const moves = [
    [0, 0],
    [lengthMm, 0],
    [lengthMm, widthMm],
    [0, widthMm],
  ] as const;
  // Places alone fit almost anywhere once the frame may move freely.
  const mayBeCut = listed.some(isSurveyed);
  const ways: Way[] = [];
  for (const [quarter, [x, y]] of moves.entries()) {
    if (quarter % 2 === 1 && !square) continue;
    const nominal = { angle: (quarter * Math.PI) / 2, x, y };
    for (const start of [nominal, ...(mayBeCut ? votedMotions(listed, found, nominal) : [])]) {
      ways.push(wayFrom(start, nominal, 90 * quarter, listed, found, plate));
    }
  }
  return ways.sort((a, b) => a.cost - b.cost);
}

/** The list as it was written from the very same file: not moved at all. */
export function wayAsWritten(listed: readonly ListedPlace[], found: readonly FoundPlace[]): Way {
  const misfits = misfitsOf(listed, found, { angle: 0, x: 0, y: 0 }, 1);
  const pairs = paired(misfits, listed.length, found.length);
  return { turnDeg: 0, ...pairs, misfits };
}

/** Whether the list says more than a place from a ruler. */
function isSurveyed({ volumeMm3 }: ListedPlace): boolean {
  return volumeMm3 !== undefined && volumeMm3 !== null;
}

/** Whether so much fits that this is a list of the plate: half of what could, and of places alone two thirds, and well. */
export function isBelievable(way: Way, listed: readonly ListedPlace[]): boolean {
  const { foundOf, listedOf, misfits } = way;
  const pairs = [...foundOf].flatMap((j, i) => (j < 0 ? [] : [misfits[i * listedOf.length + j]!]));
  const share = pairs.length / Math.min(foundOf.length, listedOf.length);
  if (listed.some(isSurveyed)) return share >= 1 / 2;
  return share >= 2 / 3 && pairs.reduce((sum, misfit) => sum + misfit, 0) <= ruledMisfit * pairs.length;
}

function wayFrom(
  start: Motion,
  nominal: Motion,
  turnDeg: number,
  listed: readonly ListedPlace[],
  found: readonly FoundPlace[],
  plate: { readonly lengthMm: number; readonly widthMm: number },
): Way {
  let motion = start;
  for (let round = 0; round < 5; round++) {
    const { foundOf } = paired(misfitsOf(listed, found, motion, round === 0 ? 2 : 1), listed.length, found.length);
    motion = bestMotion(listed, found, foundOf, motion, nominal.angle);
  }
  const misfits = misfitsOf(listed, found, motion, 1);
  const pairs = paired(misfits, listed.length, found.length);
  const back = (m: Motion) => placed([plate.lengthMm / 2, plate.widthMm / 2], m);
  const [[x, y], [nominalX, nominalY]] = [back(motion), back(nominal)];
  const shift = Math.hypot(x - nominalX, y - nominalY) / frameShiftSigmaMm;
  return { turnDeg, ...pairs, misfits, cost: pairs.cost + Math.min(mostShapeMisfit, shift ** 2) };
}

function placed([x, y]: readonly [number, number], { angle, x: moveX, y: moveY }: Motion): [number, number] {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return [c * x - s * y + moveX, s * x + c * y + moveY];
}

/** Moves for which several pairs of alike cavities speak, beside the frame's own: counted in cells of 4 mm. */
function votedMotions(listed: readonly ListedPlace[], found: readonly FoundPlace[], { angle }: Motion): Motion[] {
  const cell = 4;
  const votes = new Map<string, { weight: number; x: number; y: number }>();
  for (const entry of listed) {
    const [x, y] = placed(entry.centreMm, { angle, x: 0, y: 0 });
    for (const cavity of found) {
      const difference = shapeDifference(entry, cavity, angle);
      if (difference > otherPiece) continue;
      const weight = Math.exp(-Math.min(mostShapeMisfit, difference) / 2);
      const [dx, dy] = [cavity.centreMm[0] - x, cavity.centreMm[1] - y];
      // Four grids, shifted by half a cell, so that no border parts what belongs together.
      for (const [i, j] of [
        [0, 0],
        [1, 0],
        [0, 1],
        [1, 1],
      ] as const) {
        const key = `${Math.floor(dx / cell - i / 2)} ${Math.floor(dy / cell - j / 2)} ${i}${j}`;
        const vote = votes.get(key) ?? { weight: 0, x: 0, y: 0 };
        votes.set(key, { weight: vote.weight + weight, x: vote.x + weight * dx, y: vote.y + weight * dy });
      }
    }
  }
  const motions: Motion[] = [];
  const byWeight = [...votes.values()].sort((a, b) => b.weight - a.weight).slice(0, 40);
  for (const { weight, x, y } of byWeight) {
    const motion = { angle, x: x / weight, y: y / weight };
    if (motions.length < 4 && motions.every((m) => Math.hypot(m.x - motion.x, m.y - motion.y) > cell))
      motions.push(motion);
  }
  return motions;
}

function shapeDifference(a: Likeness, b: Likeness, angle: number): number {
  const measures = measureDifference(a, b);
  if (!a.shapeMm || !b.shapeMm || measures > otherPiece) return measures;
  return measures + spreadDifference(a.shapeMm, b.shapeMm, angle);
}

function misfitsOf(
  listed: readonly ListedPlace[],
  found: readonly FoundPlace[],
  motion: Motion,
  slack: number,
): Float64Array {
  const misfits = new Float64Array(listed.length * found.length).fill(Infinity);
  for (const [i, entry] of listed.entries()) {
    const [x, y] = placed(entry.centreMm, motion);
    for (const [j, cavity] of found.entries()) {
      const radius = Math.sqrt((cavity.openingAreaMm2 ?? 0) / Math.PI);
      const sigma = slack * (isSurveyed(entry) ? surveyedSigmaMm : Math.max(surveyedSigmaMm, radius / 4));
      const away = (Math.hypot(cavity.centreMm[0] - x, cavity.centreMm[1] - y) / sigma) ** 2;
      if (away > mostPlaceMisfit) continue;
      const difference = shapeDifference(entry, cavity, motion.angle);
      if (difference <= otherPiece) misfits[i * found.length + j] = away + Math.min(mostShapeMisfit, difference);
    }
  }
  return misfits;
}

/** One to one: the least misfits first, then exchanged while that makes the whole fit better. */
function paired(misfits: Float64Array, rows: number, columns: number) {
  const foundOf = new Int32Array(rows).fill(-1);
  const listedOf = new Int32Array(columns).fill(-1);
  const order = [...misfits.keys()].filter((k) => misfits[k]! < Infinity).sort((a, b) => misfits[a]! - misfits[b]!);
  for (const k of order) {
    const [i, j] = [Math.floor(k / columns), k % columns];
    if (foundOf[i]! >= 0 || listedOf[j]! >= 0) continue;
    foundOf[i] = j;
    listedOf[j] = i;
  }
  for (let changed = true; changed; ) {
    changed = false;
    for (const k of order) {
      const [i, j] = [Math.floor(k / columns), k % columns];
      const [ownJ, otherI] = [foundOf[i]!, listedOf[j]!];
      if (ownJ < 0 || otherI < 0 || ownJ === j) continue;
      const [now, then] = [
        misfits[i * columns + ownJ]! + misfits[otherI * columns + j]!,
        misfits[k]! + misfits[otherI * columns + ownJ]!,
      ];
      if (then >= now - 1e-9) continue;
      [foundOf[i], foundOf[otherI], listedOf[j], listedOf[ownJ]] = [j, ownJ, i, otherI];
      changed = true;
    }
  }
  let cost = 0;
  for (const [i, j] of foundOf.entries()) cost += j < 0 ? leftOverCost : misfits[i * columns + j]!;
  for (const i of listedOf) if (i < 0) cost += leftOverCost;
  return { foundOf, listedOf, cost };
}

/** The rigid motion in the plane that brings the pairs together best (least squares), within 4 degrees of the turn. */
function bestMotion(
  listed: readonly ListedPlace[],
  found: readonly FoundPlace[],
  foundOf: Int32Array,
  before: Motion,
  turn: number,
): Motion {
  const pairs = [...foundOf].flatMap((j, i) => (j < 0 ? [] : [[listed[i]!.centreMm, found[j]!.centreMm] as const]));
  if (pairs.length === 0) return before;
  const mean = (get: (pair: (typeof pairs)[number]) => number) =>
    pairs.reduce((sum, pair) => sum + get(pair), 0) / pairs.length;
  const [ax, ay, bx, by] = [mean(([a]) => a[0]), mean(([a]) => a[1]), mean(([, b]) => b[0]), mean(([, b]) => b[1])];
  const dots = mean(([a, b]) => (a[0] - ax) * (b[0] - bx) + (a[1] - ay) * (b[1] - by));
  const crosses = mean(([a, b]) => (a[0] - ax) * (b[1] - by) - (a[1] - ay) * (b[0] - bx));
  let angle = turn;
  if (pairs.length > 2) {
    const off = Math.atan2(crosses, dots) - turn;
    angle += Math.max(-mostTurn, Math.min(mostTurn, Math.atan2(Math.sin(off), Math.cos(off))));
  }
  const [x, y] = placed([ax, ay], { angle, x: 0, y: 0 });
  return { angle, x: bx - x, y: by - y };
}
