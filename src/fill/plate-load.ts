import type { Finding } from '../base/finding.js';
import type { SurveyDocument } from '../base/survey-document.js';

/** What a fill plan needs to know of one piece. `null`: not known. */
export interface Piece {
  readonly number: number;
  readonly name: string;
  readonly volumeMm3: number | null;
  /** Half the width of the range that the volume may lie in. */
  readonly doubtMm3: number;
  readonly flashAreaMm2: number | null;
  readonly wallAreaMm2: number | null;
  readonly openingAreaMm2: number | null;
  readonly rimLengthMm: number | null;
}

/** Volume of the silicone in a piece, ml; 0 where it is not known. */
export function siliconeMl(piece: Piece): number {
  return (piece.volumeMm3 ?? 0) / 1000;
}

/** The piece in a cavity that is lined with a film, which takes its room from the silicone: all of it gives `null`. */
export function lined(piece: Piece, filmMm: number): Piece {
  if (piece.volumeMm3 === null || piece.wallAreaMm2 === null) return piece;
  const left = piece.volumeMm3 - piece.wallAreaMm2 * filmMm;
  return { ...piece, volumeMm3: left > 0 ? left : null };
}

/** One plate and the pieces in it. */
export interface PlateLoad {
  readonly file: string | null;
  readonly pieces: readonly Piece[];
  readonly landAreaMm2: number | null;
  /** What stays on land that lies low, at each fill; 0 where nothing is known of such land. */
  readonly lowLandMm3: number;
  readonly findings: readonly Finding[];
}

/**
 * The plate that a survey found. The doubt about a volume is twice its standard uncertainty (coverage factor 2,
 * JCGM 100:2008 section 6), or the difference of the survey's two methods where that is more.
 */
export function plateFromSurvey(survey: SurveyDocument): PlateLoad {
  const pieces = survey.cavities.map((cavity) => {
    const { volumeMm3: volume, volumeCheckMm3: check, volumeUncertaintyMm3: uncertainty } = cavity;
    const difference = volume === null || check === null ? 0 : Math.abs(volume - check);
    return {
      number: cavity.number,
      name: cavity.name,
      volumeMm3: volume,
      doubtMm3: Math.max(2 * (uncertainty ?? 0), difference),
      flashAreaMm2: cavity.flashAreaMm2,
      wallAreaMm2: cavity.wallAreaMm2,
      openingAreaMm2: cavity.openingAreaMm2,
      rimLengthMm: cavity.rimLengthMm,
    };
  });
  return {
    file: survey.source.file,
    pieces,
    landAreaMm2: survey.plate.landAreaMm2,
    lowLandMm3: survey.plate.lowLandMm3 ?? 0,
    findings: [...survey.findings, ...changedAfterwards(survey)],
  };
}

/** A saved survey whose total is no longer the sum of its cavities was changed by another hand. */
function changedAfterwards({ cavities, totals }: SurveyDocument): Finding[] {
  if (totals.volumeMm3 === null || cavities.some(({ volumeMm3 }) => volumeMm3 === null)) return [];
  const sum = cavities.reduce((total, { volumeMm3 }) => total + volumeMm3!, 0);
  // Each figure is saved to a millionth.
  if (Math.abs(sum - totals.volumeMm3) <= 1e-6 * (cavities.length + 1) + 1e-9 * Math.abs(sum)) return [];
  const ml = (volumeMm3: number) => (volumeMm3 / 1000).toPrecision(5);
  const message = `The survey states ${ml(totals.volumeMm3)} ml in all, its cavities add to ${ml(sum)} ml: it was changed after it was saved. Survey the file again, or be sure of the figure.`;
  return [{ code: 'survey-changed', severity: 'caution', message }];
}

/**
 * Pieces that were cast and weighed once, where there is no scan.
 * @param densityGPerMl density of the silicone they were cast in, which is taken to be the one of the plan
 */
export function plateFromWeights(
  weights: readonly { name: string; massG: number }[],
  densityGPerMl: number,
): PlateLoad {
  const pieces = weights.map(({ name, massG }, index) => ({
    number: index + 1,
    name,
    volumeMm3: (massG / densityGPerMl) * 1000,
    doubtMm3: 0,
    flashAreaMm2: null,
    wallAreaMm2: null,
    openingAreaMm2: null,
    rimLengthMm: null,
  }));
  return { file: null, pieces, landAreaMm2: null, lowLandMm3: 0, findings: [] };
}
