import type { Finding } from '../base/finding.js';
import type { Cavity } from './collect-cavities.js';

/** What the two volumes of each cavity say of each other, and which cavities cannot be filled. */
export function bodyFindings(cavities: readonly Cavity[], quick: boolean): Finding[] {
  return cavities.flatMap((cavity): Finding[] => {
    const about = { cavity: cavity.number, atMm: [cavity.centreMm[0], cavity.centreMm[1], 0] as const };
    if (cavity.surface.runsOut) {
      return [
        {
          code: 'runs-off-plate',
          severity: 'stop',
          message: `Cavity ${cavity.number} is open at the plate's edge: the fill would run off there. Wall the edge up or close the mould's side, scan again, and leave the cavity out until then.`,
          ...about,
        },
      ];
    }
    // What tore the wall is said by its own finding.
    if (cavity.volumeMm3 === null && cavity.flaws !== undefined) return [];
    if (cavity.volumeMm3 === null || !(cavity.volumeMm3 > 0)) {
      return [
        {
          code: 'volume-unknown',
          severity: 'stop',
          message: `Cavity ${cavity.number} has no volume that can be trusted: its wall is torn or folded there. Repair or scan it again.`,
          ...about,
        },
      ];
    }
    if (cavity.volumeCheckMm3 === null && quick) return [];
    if (cavity.volumeCheckMm3 === null) {
      return [
        {
          code: 'body-not-closed',
          severity: 'caution',
          message: `Cavity ${cavity.number} could not be closed to a solid: its volume stands on one method alone. Weigh a first pull before you trust it.`,
          ...about,
        },
      ];
    }
    const difference = Math.abs(cavity.volumeMm3 - cavity.volumeCheckMm3);
    const allowed = Math.max(0.005 * cavity.volumeMm3, 3 * (cavity.volumeUncertaintyMm3 ?? 0));
    if (difference <= allowed) return [];
    const percent = ((100 * difference) / cavity.volumeMm3).toFixed(1);
    return [
      {
        code: 'volume-methods-differ',
        severity: 'caution',
        message: `Cavity ${cavity.number}: the two ways of measuring its volume differ by ${percent} %. Mix for the larger, and weigh the first pull.`,
        ...about,
      },
    ];
  });
}
