import { type Assumptions, assumed } from './assumptions.js';
import type { Solvent } from './shelf/solvents.js';

/** The room that is sprayed in. */
export interface Room {
  readonly volumeM3: number;
  readonly airChangesPerH: number;
}

/** Molar volume of an ideal gas, l/mol, at a temperature and 101.325 kPa (R from CODATA 2018). */
export function molarVolumeL(temperatureC: number): number {
  return (8.314462618 * (temperatureC + 273.15)) / 101.325;
}

/** The molar volume that industrial hygiene reckons with: 25 °C and 760 mmHg, rounded (NIOSH Pocket Guide). */
const hygieneMolarVolumeL = 24.45;

export function ppmFromMgM3(mgPerM3: number, molarMassGPerMol: number): number {
  return (mgPerM3 * hygieneMolarVolumeL) / molarMassGPerMol;
}

export function mgM3FromPpm(ppm: number, molarMassGPerMol: number): number {
  return (ppm * molarMassGPerMol) / hygieneMolarVolumeL;
}

/** Most vapour that air can take up over the open liquid: 10^6 P / 760 mmHg. */
export function saturationPpm(vapourPressureMmHg: number): number {
  return (1e6 * vapourPressureMmHg) / 760;
}

/** Mass of vapour in a cubic metre of air at a share of its volume, g/m³. */
export function gramsPerM3(volumePct: number, molarMassGPerMol: number): number {
  return mgM3FromPpm(volumePct * 1e4, molarMassGPerMol) / 1000;
}

/** From here on an atmosphere counts as hazardous: 10 % of the lower limit (29 CFR 1910.146(b), from memory). */
export const explosiveShare = 0.1;

const workingDayH = 8;

/** What evaporates into the room, and what that comes to. */
export interface VapourEntry {
  solvent: string;
  solventG: number;
  roomM3: number;
  airChangesPerH: number;
  sprayMinutes: number;
  /** All of it in the room at once, no air changed: more than that the room's mean cannot be. */
  sealedPpm: number;
  sealedGPerM3: number;
  /** At the end of spraying. */
  peakPpm: number;
  /** Mean while spraying. */
  meanPpm: number;
  /** Mean over a working day of 8 h that the spraying begins. */
  dayMeanPpm: number;
  breathingZonePpm: [number, number];
  limits: { name: string; ppm: number }[];
  lowestLimitPpm: number;
  lowestLimitName: string;
  lowerExplosivePct: number;
  /** The sealed figure as a share of the lower explosive limit. */
  ofLowerExplosivePct: number;
  /** Air that keeps the room's mean under the limit while spraying, if it mixed at once. */
  airNeededM3PerH: number;
}

/** Mean of e^-t for t from 0 to x. */
function decay(x: number): number {
  return x < 1e-5 ? 1 - x / 2 : -Math.expm1(-x) / x;
}

/** (1 - decay(x)) / x, with its limit 1/2 at 0. */
function growth(x: number): number {
  return x < 1e-5 ? 1 / 2 - x / 6 : (1 - decay(x)) / x;
}

/**
 * One well-mixed room: dC/dt = G/V - n C, with the solvent given off evenly while spraying. It knows nothing of the
 * plume, the open cup and the floor, where vapour sinks.
 */
export function planVapour(
  solvent: Solvent,
  solventG: number,
  sprayMinutes: number,
  room: Room,
  { breathingLeast, breathingMost }: Assumptions = assumed('encapsulated'),
): VapourEntry {
  const { volumeM3, airChangesPerH: n } = room;
  const hours = sprayMinutes / 60;
  const sealedMgM3 = (solventG * 1000) / volumeM3;
  const peak = sealedMgM3 * decay(n * hours);
  const mean = sealedMgM3 * growth(n * hours);
  const restH = Math.max(0, workingDayH - hours);
  const after = peak * restH * decay(n * restH);
  const day = (mean * Math.min(hours, workingDayH) + after) / workingDayH;
  const ppm = (mgM3: number) => ppmFromMgM3(mgM3, solvent.molarMassGPerMol);
  const limits = [
    { name: 'OSHA PEL', ppm: solvent.oshaPelPpm },
    { name: 'NIOSH REL', ppm: solvent.nioshRelPpm },
  ];
  const lowest = limits.reduce((a, b) => (b.ppm < a.ppm ? b : a));
  const explosiveGM3 = gramsPerM3(solvent.lowerExplosivePct, solvent.molarMassGPerMol);
  return {
    solvent: solvent.name,
    solventG,
    roomM3: volumeM3,
    airChangesPerH: n,
    sprayMinutes,
    sealedPpm: ppm(sealedMgM3),
    sealedGPerM3: sealedMgM3 / 1000,
    peakPpm: ppm(peak),
    meanPpm: ppm(mean),
    dayMeanPpm: ppm(day),
    breathingZonePpm: [breathingLeast * ppm(mean), breathingMost * ppm(mean)],
    limits,
    lowestLimitPpm: lowest.ppm,
    lowestLimitName: lowest.name,
    lowerExplosivePct: solvent.lowerExplosivePct,
    ofLowerExplosivePct: (100 * sealedMgM3) / 1000 / explosiveGM3,
    airNeededM3PerH: (solventG * 1000) / hours / mgM3FromPpm(lowest.ppm, solvent.molarMassGPerMol),
  };
}

/**
 * Dilution air after the ACGIH's Industrial Ventilation: Q = K 403e6 SG ER / (M C).
 * @param pintsPerH liquid evaporated, US pints an hour
 * @param k allowance for uneven mixing, 1 for perfect
 * @returns cubic feet a minute
 */
export function dilutionAirCfm(
  specificGravity: number,
  pintsPerH: number,
  molarMassGPerMol: number,
  limitPpm: number,
  k = 1,
): number {
  return (k * 403e6 * specificGravity * (pintsPerH / 60)) / (molarMassGPerMol * limitPpm);
}
