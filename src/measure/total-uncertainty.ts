import { type LevelDoubt, levelSigmaMm3 } from '../plate/level-doubt.js';
import type { MeasuredHollow } from './measure-hollow.js';

/**
 * Standard uncertainty of the sum of some volumes, mm³. The height of the scrape surface is one for all of a plate, so its
 * doubt adds up over them; what is left of each volume's uncertainty is independent (JCGM 100:2008, 5.2).
 */
export function totalUncertainty(
  cavities: readonly Pick<MeasuredHollow, 'volumeUncertaintyMm3' | 'levelArea'>[],
  level: LevelDoubt,
): number | null {
  const areas = cavities.map(({ levelArea }) => levelArea);
  let rest = 0;
  for (const { volumeUncertaintyMm3, levelArea } of cavities) {
    if (volumeUncertaintyMm3 === null || levelArea === null) return null;
    rest += Math.max(0, volumeUncertaintyMm3 ** 2 - levelSigmaMm3(level, [levelArea]) ** 2);
  }
  return Math.hypot(
    levelSigmaMm3(
      level,
      areas.filter((area) => area !== null),
    ),
    Math.sqrt(rest),
  );
}
