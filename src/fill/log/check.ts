import type { Cast, Log } from './entry.js';
import { runsOf } from './entry.js';

/** A piece may differ from its prediction by this before it is worth a word (common practice, no source). */
export const checkLimits = { pct: 3, massG: 0.1 } as const;

export type Verdict = 'as predicted' | 'short' | 'heavy' | 'no prediction';

export interface CheckedCast {
  readonly entry: number;
  readonly cast: Cast;
  /** Cast less predicted, per cent of predicted. */
  readonly differencePct: number | null;
  readonly verdict: Verdict;
}

/** What a verdict means at the bench. */
export const meaning: Readonly<Record<Verdict, string>> = {
  'as predicted': '',
  short: 'air, or scraped too deep',
  heavy: 'flash, or not scraped down',
  'no prediction': '',
};

/** Every cast piece against its prediction, whose own range does not count as a difference. */
export function checkLog(log: Log): CheckedCast[] {
  return runsOf(log).flatMap(({ entry, run }) => run.casts.map((cast) => ({ entry, cast, ...judge(cast) })));
}

function judge({ massG, predictedG, rangeG }: Cast): Pick<CheckedCast, 'differencePct' | 'verdict'> {
  if (predictedG === null) return { differencePct: null, verdict: 'no prediction' };
  const differencePct = (100 * (massG - predictedG)) / predictedG;
  const allowed = Math.max((predictedG * checkLimits.pct) / 100, checkLimits.massG);
  const [low = predictedG, high = predictedG] = rangeG ?? [];
  if (massG < low - allowed) return { differencePct, verdict: 'short' };
  return { differencePct, verdict: massG > high + allowed ? 'heavy' : 'as predicted' };
}
