import type { Pack } from '../stock.js';

export interface PackCount extends Pack {
  readonly count: number;
}

/** Needs are cut into at most so many steps; a step is then under a ten-thousandth of the need. */
const mostSteps = 20_000;

/** The cheapest packs that together hold enough; of equal cost the ones that hold more. Empty without packs. */
export function cheapestPacks(needG: number, packs: readonly Pack[]): PackCount[] {
  if (needG <= 0 || packs.length === 0) return [];
  const step = Math.max(0.1, needG / mostSteps);
  const steps = Math.ceil(needG / step);
  // cost[n]: the least that n steps cost; a pack counts for the whole steps it holds.
  const cost = new Float64Array(steps + 1);
  const last = new Int32Array(steps + 1);
  const held = packs.map(({ holdsG }) => Math.max(1, Math.floor(holdsG / step + 1e-9)));
  for (let n = 1; n <= steps; n++) {
    cost[n] = Number.POSITIVE_INFINITY;
    packs.forEach(({ price, holdsG }, i) => {
      const total = cost[Math.max(0, n - held[i]!)]! + price;
      const better = total < cost[n]! - 1e-9;
      const larger = Math.abs(total - cost[n]!) <= 1e-9 && holdsG > packs[last[n]!]!.holdsG;
      if (better || larger) [cost[n], last[n]] = [total, i];
    });
  }
  const counts = packs.map(() => 0);
  for (let n = steps; n > 0; n -= held[last[n]!]!) counts[last[n]!]! += 1;
  return packs.map((pack, i) => ({ ...pack, count: counts[i]! })).filter(({ count }) => count > 0);
}

/** What a gram costs in the pack that is cheapest by the gram; `null` without packs. */
export function pricePerG(packs: readonly Pack[]): number | null {
  return packs.length === 0 ? null : Math.min(...packs.map(({ price, holdsG }) => price / holdsG));
}
