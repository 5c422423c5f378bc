import { distanceBetweenLoops, indexLoops } from '../base/loop-index.js';

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
    let gap = Number.POSITIVE_INFINITY;
    if (edge !== null) gap = distanceBetweenLoops(indices[i]!, edge, gap);
    for (let j = 0; j < indices.length; j++) if (j !== i) gap = distanceBetweenLoops(indices[i]!, indices[j]!, gap);
    return Number.isFinite(gap) ? gap : null;
  });
}
