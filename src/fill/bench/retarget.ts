import { assumed } from '../assumptions.js';
import { roundG, type Scale } from '../scale.js';

/** A part and its share of the mass of the mix. */
export interface Share {
  readonly part: string;
  /** Above 0; the shares of a mix add to 1. */
  readonly share: number;
}

/** Grams of each part that are in the cup; a part that is not named is not in yet. */
export type InCup = ReadonlyMap<string, number>;

export interface Target {
  readonly part: string;
  readonly inCupG: number;
  /** To add, never below 0. */
  readonly addG: number;
}

export interface Retarget {
  readonly targets: readonly Target[];
  /** In the cup when all is added. */
  readonly totalG: number;
  /** How far the parts that are in are from each other's ratio, per cent of the larger. */
  readonly offPct: number;
}

/** A part this close to its ratio is left as it is. */
export const tolerancePct = assumed('straight').ratioTolerancePct;

export interface RetargetOptions {
  /** What the batch must hold at least; 0 where only the ratio counts. */
  readonly needG?: number;
  /** A part that is in and no more short than this is left as it is. */
  readonly leavePct?: number;
  readonly scale?: Scale | undefined;
}

/**
 * What to add so that the cup comes back into its ratio. Nothing can be taken out of a cup: the part that is most over
 * its share sets the total, T = max(in cup / share), and the others follow it.
 */
export function retarget(
  shares: readonly Share[],
  inCup: InCup,
  { needG = 0, leavePct = tolerancePct, scale }: RetargetOptions = {},
): Retarget {
  const totals = shares.filter(({ part }) => inCup.has(part)).map(({ part, share }) => inCup.get(part)! / share);
  const most = Math.max(0, ...totals);
  const least = totals.length === 0 ? 0 : Math.min(...totals);
  // A cup that is a little short of its need is not topped up for that: the overfill covers it.
  const total = most >= needG * (1 - leavePct / 100) ? most : needG;
  const targets = shares.map(({ part, share }) => {
    const has = inCup.get(part) ?? 0;
    const short = share * total - has;
    const close = inCup.has(part) && short <= (share * total * leavePct) / 100;
    return { part, inCupG: has, addG: close ? 0 : Math.max(0, roundG(short, scale)) };
  });
  return {
    targets,
    totalG: targets.reduce((sum, { inCupG, addG }) => sum + inCupG + addG, 0),
    offPct: most === 0 ? 0 : 100 * (1 - least / most),
  };
}

/**
 * What is in the cup, from what the scale showed.
 * @param readings in the order of weighing
 * @param running the scale was not tared between the parts: each reading holds those before it
 */
export function inCupFrom(readings: readonly { part: string; shownG: number }[], running: boolean): InCup {
  const inCup = new Map<string, number>();
  let before = 0;
  for (const { part, shownG } of readings) {
    const massG = running ? shownG - before : shownG;
    before = running ? shownG : 0;
    inCup.set(part, (inCup.get(part) ?? 0) + massG);
  }
  return inCup;
}
