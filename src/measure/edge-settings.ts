import type { Finding } from '../base/finding.js';
import { defaultFeatherMm } from './measured-body.js';
import { mostTiltDeg } from './tilt.js';

/** What the judgement of edges depends on. Each has a default, and what was not given is said to be assumed. */
export interface EdgeSettings {
  /** Way of casting: poured and scraped, or inside a barrier that carries the edge. */
  readonly way?: 'straight' | 'encapsulated';
  /** Tear strength of the cured mix (ISO 34-1, ASTM D624), N/mm. */
  readonly tearNPerMm?: number;
  /** Pull that the edge must stand, N. */
  readonly pullN?: number;
  readonly safety?: number;
  /** How wide an edge may taper, mm; never more than a quarter of the piece's half-width. */
  readonly featherMm?: number;
  /** How thick the edge may be a quarter of a millimetre in from the rim before it shows as a step, mm. */
  readonly rimStepMm?: number;
  /** Elongation at break of the cured mix (ISO 37, ASTM D412), per cent. */
  readonly elongationPct?: number;
  /** How far the plate may be tilted for the first coat, degrees; 0 for a plate that stays level. */
  readonly tiltDeg?: number;
  /** Land that a barrier needs round a piece, mm. */
  readonly marginMm?: number;
}

/** Common practice, no source. A softened mix without a data sheet is weak: the neat figure would flatter it. */
export const edgeDefaults = {
  way: 'straight',
  tearNPerMm: 1.5,
  pullByBrushN: 0.5,
  pullByFingersN: 2,
  safety: 1,
  featherMm: defaultFeatherMm,
  rimStepMm: 0.1,
  tiltDeg: mostTiltDeg,
  marginMm: 5,
} as const;

/** Tear thickness = safety x pull / tear strength: a nick in thinner silicone runs. */
export function tearThicknessMm(settings: EdgeSettings, isUndercut: boolean): number {
  const pull = settings.pullN ?? (isUndercut ? edgeDefaults.pullByFingersN : edgeDefaults.pullByBrushN);
  return ((settings.safety ?? edgeDefaults.safety) * pull) / (settings.tearNPerMm ?? edgeDefaults.tearNPerMm);
}

/** Says which of the numbers behind the judgement were assumed; null where all were given. */
export function assumptions(settings: EdgeSettings): Finding | null {
  const assumed = [
    settings.way === undefined && 'straight casting (--way)',
    settings.tearNPerMm === undefined && `tear strength ${edgeDefaults.tearNPerMm} N/mm (--tear)`,
    settings.pullN === undefined &&
      `pull ${edgeDefaults.pullByBrushN} N, ${edgeDefaults.pullByFingersN} N out of an undercut (--pull)`,
    settings.safety === undefined && `safety factor ${edgeDefaults.safety} (--safety)`,
    settings.featherMm === undefined && `feather up to ${edgeDefaults.featherMm} mm wide (--feather)`,
    settings.rimStepMm === undefined && `rim step ${edgeDefaults.rimStepMm} mm (--rim-step)`,
    settings.way === 'encapsulated' &&
      settings.marginMm === undefined &&
      `${edgeDefaults.marginMm} mm of land for the barrier (--margin)`,
  ].filter((text) => text !== false);
  if (assumed.length === 0) return null;
  return {
    code: 'edge-assumptions',
    severity: 'note',
    message: `Edges are judged with assumed numbers: ${assumed.join(', ')}. Put in your own${settings.tearNPerMm === undefined ? ', the tear strength from the data sheet of the mix as you soften it' : ''}.`,
  };
}
