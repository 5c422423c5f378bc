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
  return rims.map((_, i) => {
    const own = indices[i]!;
    let gap = edge === null ? Number.POSITIVE_INFINITY : distanceBetweenLoops(own, edge);
    // Near ones first: most of the others are then farther off than what is found.
    const least = Float64Array.from(indices, (other) => distanceOfBounds(own, other));
    const order = Uint32Array.from(indices.keys()).sort((a, b) => least[a]! - least[b]! || a - b);
    for (const j of order) {
      if (j === i) continue;
      if (least[j]! >= gap) break;
      gap = distanceBetweenLoops(own, indices[j]!, gap);
    }
    return Number.isFinite(gap) ? gap : null;
  });
}
