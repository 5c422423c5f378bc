/** A solvent, with the figures that the air in the room is judged by. */
export interface Solvent {
  readonly name: string;
  readonly molarMassGPerMol: number;
  /** At 20 °C. */
  readonly densityGPerMl: number;
  readonly flashPointC: number;
  readonly lowerExplosivePct: number;
  readonly upperExplosivePct: number;
  /** Exposure limits of the United States over a working day; other countries have others. */
  readonly oshaPelPpm: number;
  readonly nioshRelPpm: number;
  /** Hazard statements of the GHS. */
  readonly hazardCodes: readonly string[];
}

/** Highly flammable liquid and vapour; serious eye irritation; may cause drowsiness or dizziness: all four alike. */
const hazardCodes = ['H225', 'H319', 'H336'] as const;

function solvent(name: string, figures: readonly [number, number, number, number, number, number, number]): Solvent {
  const [molarMassGPerMol, densityGPerMl, flashPointC, lower, upper, oshaPelPpm, nioshRelPpm] = figures;
  return {
    name,
    molarMassGPerMol,
    densityGPerMl,
    flashPointC,
    lowerExplosivePct: lower,
    upperExplosivePct: upper,
    oshaPelPpm,
    nioshRelPpm,
    hazardCodes,
  };
}

/**
 * NIOSH Pocket Guide to Chemical Hazards, OSHA occupational chemical database and ICSC cards; the lower explosive
 * limits of acetone and ethyl acetate from memory of the NIOSH guide.
 */
export const solvents: readonly Solvent[] = [
  solvent('acetone', [58.08, 0.791, -18, 2.5, 12.8, 1000, 250]),
  solvent('isopropanol', [60.1, 0.79, 12, 2.0, 12.7, 400, 400]),
  solvent('ethyl acetate', [88.105, 0.9003, -4, 2.0, 11.5, 400, 400]),
  solvent('butanone', [72.11, 0.8054, -9, 1.9, 11, 200, 200]),
];
