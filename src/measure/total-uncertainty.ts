import type { CavityRecord } from '../base/survey-document.js';

/** How much of the height's error all cavities have alike (measured on scans with noise; the rest is a feather's own). */
const commonShare = 2 / 3;

/**
 * Standard uncertainty of the sum of some volumes, mm³. The height of the scrape surface is in part off by the same for all
 * of a plate, and that part adds up; what is left of each volume's uncertainty is independent (JCGM 100:2008, 5.2).
 * @param levelMm standard uncertainty of that height, as in the volumes
 */
export function totalUncertainty(
  cavities: readonly Pick<CavityRecord, 'volumeUncertaintyMm3' | 'openingAreaMm2'>[],
  levelMm: number,
): number | null {
  let [level, rest] = [0, 0];
  for (const { volumeUncertaintyMm3, openingAreaMm2 } of cavities) {
    if (volumeUncertaintyMm3 === null || openingAreaMm2 === null) return null;
    const own = commonShare * levelMm * openingAreaMm2;
    level += own;
    rest += Math.max(0, volumeUncertaintyMm3 ** 2 - own ** 2);
  }
  return Math.hypot(level, Math.sqrt(rest));
}
