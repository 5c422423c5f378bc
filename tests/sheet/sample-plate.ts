import type { CavityRecord, SurveyDocument } from '../../src/base/survey-document.js';
import { genericSilicones } from '../../src/fill/generic-silicones.js';
import { planMix } from '../../src/fill/mix.js';
import type { MixDocument } from '../../src/fill/mix-document.js';
import { plateFromSurvey } from '../../src/fill/plate-load.js';
import { neatRecipe } from '../../src/fill/recipe.js';
import { sampleCavity, sampleSurvey } from './sample-survey.js';

/** An oval rim, or with `dent` a kidney; x, y per point, counter-clockwise. */
export function oval(x: number, y: number, halfX: number, halfY: number, dent = 0): number[] {
  return Array.from({ length: 120 }, (_, i) => {
    const turn = ((i >> 1) / 60) * 2 * Math.PI;
    const out = 1 - dent * Math.cos(turn) ** 2 * (Math.sin(turn) > 0 ? 1 : 0);
    return i % 2 === 0 ? x + halfX * Math.cos(turn) : y + halfY * Math.sin(turn) * out;
  });
}

function piece(
  number: number,
  name: string,
  [x, y, halfX, halfY, depth]: readonly [number, number, number, number, number],
  changes: Partial<CavityRecord> = {},
): CavityRecord {
  const area = Math.PI * halfX * halfY;
  // Half an ellipsoid holds two thirds of its box's elliptic prism.
  const volumeMm3 = (2 / 3) * area * depth;
  return sampleCavity(number, name, {
    centreMm: [x, y],
    boxMm: [x - halfX, y - halfY, -depth, x + halfX, y + halfY, 0],
    volumeMm3,
    volumeCheckMm3: volumeMm3 * 1.0004,
    volumeUncertaintyMm3: volumeMm3 * 0.004,
    openingAreaMm2: area,
    depthMm: depth,
    rimMm: [oval(x, y, halfX, halfY)],
    ...changes,
  });
}

/** An invented plate of seven pieces with everything on it that a sheet must show. No figure of it was measured. */
export function samplePlate(): SurveyDocument {
  return sampleSurvey({
    cavities: [
      piece(1, 'brow ridge left', [45, 118, 34, 14, 5.2], {
        rimMm: [oval(45, 118, 34, 14, 0.5)],
        thinZones: [
          { areaMm2: 61, reachMm: 6.9, rimSpanMm: 14, minMm: 0.12, inner: false, atMm: [77, 121, -0.1] },
          { areaMm2: 2.4, reachMm: 1, rimSpanMm: 0, minMm: 0.21, inner: true, atMm: [40, 112, -0.2] },
        ],
        liftPointMm: [12, 117, 0],
      }),
      piece(2, 'brow ridge right', [122, 118, 34, 14, 5.1], { rimMm: [oval(122, 118, 34, 14, 0.5)] }),
      piece(3, 'gill fan', [183, 112, 18, 26, 7.4], {
        rimMm: [
          oval(183, 112, 18, 26),
          oval(183, 108, 5, 8)
            .reverse()
            .flatMap((v, i, all) => (i % 2 === 1 ? [v, all[i - 1]!] : [])),
        ],
        undercut: { volumeMm3: 84, overhangMm: 1.4, neckMm: 21, stretchPct: 38 },
        airTraps: [{ volumeMm3: 18, atMm: [186, 128, -6] }],
        liftPointMm: [183, 86, 0],
      }),
      piece(4, 'barnacle cluster', [36, 50, 22, 28, 6.3]),
      piece(5, 'chin plate', [104, 48, 34, 34, 4.8], { volumeUncertaintyMm3: 300 }),
      piece(6, 'ear tip', [163, 60, 4.2, 6.5, 3.1]),
      piece(7, 'scar', [172, 24, 26, 3.2, 0.9]),
    ],
    findings: [
      {
        code: 'runs-off-plate',
        severity: 'stop',
        message: 'It runs out over the edge of the plate: dam it, or the fill runs off.',
        cavity: 2,
        atMm: [156, 118, 0],
      },
      {
        code: 'thin-edge',
        severity: 'caution',
        message: 'The edge is under 0.33 mm for 6.9 mm in from the rim: build it up.',
        cavity: 1,
        atMm: [77, 121, 0],
      },
      {
        code: 'thin-inside',
        severity: 'caution',
        message: 'A thin spot inside the piece: cut deeper there.',
        cavity: 1,
      },
      { code: 'air-trap', severity: 'caution', message: 'Air stays in a pocket: brush a first coat in.', cavity: 3 },
      { code: 'lift-start', severity: 'note', message: 'Start lifting at the lower end.', cavity: 3 },
    ],
  });
}

/** The sample plate planned in the first generic silicone, straight. */
export function samplePlan(survey: SurveyDocument = samplePlate(), fills = 3): MixDocument {
  return planMix([plateFromSurvey(survey)], { recipes: [neatRecipe(genericSilicones[0]!)], way: 'straight', fills });
}
