import { inCupFrom, type Retarget, retarget, type Share, type Target } from '../../fill/bench/retarget.js';
import type { BatchEntry, MaterialEntry } from '../../fill/mix-document.js';

/** A part that went into the cup, as the scale showed it. */
export interface Reading {
  readonly part: string;
  readonly shownG: number;
}

/**
 * Shares of what is weighed, in the order of weighing. A part that was tinted beforehand is weighed as one: its share is
 * what the others leave.
 */
export function orderShares(batch: BatchEntry, { parts }: MaterialEntry): Share[] {
  const shareOf = (name: string): number | undefined => parts.find(({ part }) => part === name)?.sharePct;
  const known = batch.order.reduce((sum, { part }) => sum + (shareOf(part) ?? 0), 0);
  return batch.order.map(({ part }) => ({ part, share: (shareOf(part) ?? 100 - known) / 100 }));
}

export interface Weighing extends Retarget {
  /** The part to weigh now; null when all are in. */
  readonly next: Target | null;
  readonly inCupG: number;
  /** What the scale must show for the next part. */
  readonly showG: number;
}

/**
 * What to weigh next.
 * @param running the scale is not tared between the parts
 */
export function weighing(
  batch: BatchEntry,
  material: MaterialEntry,
  readings: readonly Reading[],
  running: boolean,
  scaleStepG?: number,
): Weighing {
  const inCup = inCupFrom(readings, running);
  const result = retarget(orderShares(batch, material), inCup, { needG: batch.totalG, scale: { stepG: scaleStepG } });
  const next = result.targets.find(({ addG }) => addG > 0) ?? null;
  const inCupG = [...inCup.values()].reduce((sum, massG) => sum + massG, 0);
  return { ...result, next, inCupG, showG: (next?.addG ?? 0) + (running ? inCupG : 0) };
}
