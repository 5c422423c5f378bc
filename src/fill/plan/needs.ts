import type { WayOfCasting } from '../allowances.js';
import { addDays, lastWorkingDay } from './calendar.js';
import type { PlanFile, PlanWant } from './plan-file.js';

/** Rejects to expect, per cent of what is cast (common practice, no source). */
export const expectedRejectsPct: Readonly<Record<WayOfCasting, number>> = { straight: 10, encapsulated: 20 };
/** Turns of a mould a day (common practice, no source). */
export const usualTurns: Readonly<Record<WayOfCasting, number>> = { straight: 2, encapsulated: 1 };
/** A want with what must be cast for it. */
export interface Need extends PlanWant {
  /** What the rejects take, so that count and spares are left. */
  readonly rejects: number;
  readonly toCast: number;
  /** The last working day on which it may be cast; `undefined`: no date, `null`: none is left. */
  readonly lastDay: string | null | undefined;
}

/** Casts so that, at the expected share of rejects, enough are left. */
export function castsFor(good: number, rejectsPct: number): number {
  return Math.ceil(good / (1 - rejectsPct / 100) - 1e-9);
}

/**
 * The wants, the earliest first; those without a date last.
 * @param cureDays from casting to lifting, whole days
 * @param finishingDays from lifting until a piece can be worn
 */
export function needsOf(plan: PlanFile, cureDays: number, finishingDays: number): Need[] {
  const rejectsPct = plan.rejectsPct ?? expectedRejectsPct[plan.way];
  return plan.wants
    .map((want): Need => {
      const toCast = castsFor(want.count + want.spares, rejectsPct);
      const rejects = toCast - want.count - want.spares;
      if (want.by === undefined) return { ...want, rejects, toCast, lastDay: undefined };
      const last = lastWorkingDay(addDays(want.by, -finishingDays - cureDays), plan.daysOff);
      return { ...want, rejects, toCast, lastDay: last !== undefined && last >= plan.start ? last : null };
    })
    .toSorted((a, b) => (a.by ?? '9999').localeCompare(b.by ?? '9999'));
}
