import { distanceBetweenLoops, distanceOfBounds, indexLoops } from '../base/loop-index.js';

/**
 * Per opening the gap from its rim to the nearest other rim or to the plate's edge, mm.
 * @param outline the plate's outline, or null where the plate has no edge to measure to
 */
export function nearestGaps(
  rims: readonly (readonly Float64Array[])[],
  others: readonly (readonly Float64Array[])[],
  outline: Float64Array | null,
): (number | null)[] {
  const indices = [...rims, ...others].map(indexLoops);
  const edge = outline === null ? null : indexLoops([outline]);
  const gaps = indices.map((index, i) =>
    edge === null || i >= rims.length ? Number.POSITIVE_INFINITY : distanceBetweenLoops(index, edge),
  );
  // Near pairs first: most of the others are then farther apart than what both have found.
  const pairs = rims.flatMap((_, i) =>
    indices.slice(i + 1).map((other, k) => ({ i, j: i + 1 + k, least: distanceOfBounds(indices[i]!, other) })),
  );
  for (const { i, j, least } of pairs.sort((a, b) => a.least - b.least)) {
    const limit = j < rims.length ? Math.max(gaps[i]!, gaps[j]!) : gaps[i]!;
    if (least >= limit) continue;
    const gap = distanceBetweenLoops(indices[i]!, indices[j]!, limit);
    gaps[i] = Math.min(gaps[i]!, gap);
    gaps[j] = Math.min(gaps[j]!, gap);
  }
  return rims.map((_, i) => (Number.isFinite(gaps[i]!) ? gaps[i]! : null));
}
