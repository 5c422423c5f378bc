import { type Log, runsOf } from '../log/entry.js';
import type { PlanFile, PlanWant } from './plan-file.js';

export interface TopUp {
  /** The plan of the pieces that are still short; `undefined`: none is. */
  readonly plan: PlanFile | undefined;
  readonly short: readonly { piece: string; have: number; want: number }[];
}

/**
 * What the log shows short of a plan's wants and spares. Good pieces count for the earliest want first; a want for
 * heroes counts heroes only. The moulds are no longer new once the log has a run.
 * @param start first day of the top-up
 */
export function topUp(plan: PlanFile, log: Log, start: string): TopUp {
  const casts = runsOf(log).flatMap(({ run }) => run.casts);
  const heroes = new Map<string, number>();
  const others = new Map<string, number>();
  for (const { name, grade } of casts) {
    if (grade === 'hero') heroes.set(name, (heroes.get(name) ?? 0) + 1);
    if (grade === 'background') others.set(name, (others.get(name) ?? 0) + 1);
  }
  const short: { piece: string; have: number; want: number }[] = [];
  const wants: PlanWant[] = [];
  const take = (from: Map<string, number>, name: string, most: number): number => {
    const taken = Math.min(most, from.get(name) ?? 0);
    from.set(name, (from.get(name) ?? 0) - taken);
    return taken;
  };
  // Wants for any grade are served from the background first, so that heroes are left for those that ask for them.
  const order = plan.wants
    .map((want, index) => ({ want, index }))
    .toSorted(
      (a, b) =>
        Number(b.want.grade === 'hero') - Number(a.want.grade === 'hero') ||
        (a.want.by ?? '9').localeCompare(b.want.by ?? '9'),
    );
  for (const { want } of order) {
    const all = want.count + want.spares;
    const fromOthers = want.grade === 'hero' ? 0 : take(others, want.piece, all);
    const have = fromOthers + take(heroes, want.piece, all - fromOthers);
    if (have === all) continue;
    short.push({ piece: want.piece, have, want: all });
    const missing = all - have;
    const spares = Math.min(want.spares, missing);
    // Spares are made up with the others; a want of spares alone still is a count.
    wants.push({ ...want, count: Math.max(1, missing - spares), spares: missing === spares ? spares - 1 : spares });
  }
  if (wants.length === 0) return { plan: undefined, short };
  const plates = casts.length === 0 ? plan.plates : plan.plates.map((plate) => ({ ...plate, newMould: false }));
  return { plan: { ...plan, plates, wants, start }, short };
}
