import { distanceToLoops, indexLoops, type LoopIndex } from '../base/loop-index.js';
import { polygonArea } from '../base/plane-geometry.js';
import { bandsRoundOpenings } from '../mesh/solid.js';

/**
 * Area of each opening's flash band: the land within `bandMm` of its rim, without any opening, inside the plate. Where
 * bands meet, each spot belongs to the nearest rim.
 * @param rims per opening its rim loops
 * @param others rim loops of hollows that are no cavities
 * @param outline the plate's outline
 */
export async function flashBands(
  rims: readonly (readonly Float64Array[])[],
  others: readonly Float64Array[],
  outline: Float64Array,
  bandMm: number,
): Promise<number[]> {
  const open = rims.filter((loops) => loops.length > 0);
  if (open.length === 0 || !(bandMm > 0)) return rims.map(() => 0);
  const bands = await bandsRoundOpenings(open, others, outline, bandMm);
  const indices = open.map(indexLoops);
  const areas = bands.map(({ areaMm2, shared }, i) => {
    if (shared.length === 0) return areaMm2;
    const sharedMm2 = shared.reduce((sum, loop) => sum + polygonArea(loop), 0);
    return areaMm2 - sharedMm2 * (1 - ownShare(shared, i, indices, bandMm));
  });
  return rims.map((loops) => (loops.length > 0 ? areas.shift()! : 0));
}

/** The share of a region, covered by several bands, that lies nearest to rim `own`: counted on a fine grid. */
function ownShare(region: readonly Float64Array[], own: number, rims: readonly LoopIndex[], bandMm: number): number {
  const index = indexLoops(region);
  const [x0, y0, x1, y1] = index.bounds;
  const step = Math.max(bandMm / 60, Math.sqrt(((x1 - x0) * (y1 - y0)) / 20_000));
  const near = rims.filter(
    ({ bounds }, i) =>
      i !== own &&
      bounds[0] - bandMm < x1 &&
      bounds[2] + bandMm > x0 &&
      bounds[1] - bandMm < y1 &&
      bounds[3] + bandMm > y0,
  );
  let [all, mine] = [0, 0];
  for (let y = y0 + step / 2; y < y1; y += step) {
    const crossings = crossingsAt(index, y);
    for (let k = 0; k + 1 < crossings.length; k += 2) {
      const first = Math.ceil((crossings[k]! - x0) / step - 0.5);
      for (let x = x0 + (first + 0.5) * step; x < crossings[k + 1]!; x += step) {
        all++;
        const distance = distanceToLoops(rims[own]!, x, y);
        if (near.every((rim) => distanceToLoops(rim, x, y, distance) >= distance)) mine++;
      }
    }
  }
  return all === 0 ? 1 : mine / all;
}

/** Where a level line enters and leaves the inside of some loops, in order. */
function crossingsAt({ segments }: LoopIndex, y: number): number[] {
  const crossings: number[] = [];
  for (let s = 0; s < segments.length; s += 4) {
    const y0 = segments[s + 1]!;
    const y1 = segments[s + 3]!;
    if (y0 > y === y1 > y) continue;
    crossings.push(segments[s]! + ((segments[s + 2]! - segments[s]!) * (y - y0)) / (y1 - y0));
  }
  return crossings.sort((a, b) => a - b);
}
