import { type Assumptions, assumed } from './assumptions.js';
import type { FillKind } from './choose-fills.js';
import type { Piece, PlateLoad } from './plate-load.js';
import type { Lacquer } from './shelf/shelf.js';
import { type Solvent, solvents } from './shelf/solvents.js';

/** The film that is sprayed into the cavities before the silicone and over it afterwards. */
export interface BarrierSpec {
  readonly lacquer: Lacquer;
  /** True where the lacquer's figures are generic. */
  readonly typical: boolean;
  /** Dry. */
  readonly filmUm: number;
  /** Parts of thinner to one of lacquer, by volume. */
  readonly thinnerParts: number;
  /** Solids that land, of those that leave the gun. */
  readonly transferPct?: number | undefined;
  readonly airbrushCupMl: number;
}

const usual = assumed('encapsulated');

/**
 * Transfer efficiency by weight: 15 to 30 % for a high-pressure gun, 50 to 60 % for HVLP; none was found for an
 * airbrush, so the plan takes the least, which needs the most, until the person enters a figure.
 */
export const transferRangePct = { least: 15, most: 60 } as const;

/** A lacquer and a film to begin with; every figure is common practice, no source. */
export const typicalBarrier: BarrierSpec = {
  lacquer: { name: 'barrier lacquer', densityGPerMl: 0.86, solidsVolumePct: 20, solvent: 'acetone' },
  typical: true,
  filmUm: 20,
  thinnerParts: 3.5,
  airbrushCupMl: 7,
};

/** Wet film thickness for a dry one: 100 dry / volume solids in per cent (formula of the coating industry). */
export function wetFilmUm(dryUm: number, solidsPct: number): number {
  return (100 * dryUm) / solidsPct;
}

/** Area that a litre covers, m²: 10 x volume solids in per cent / dry film in µm. */
export function spreadM2PerL(solidsPct: number, dryUm: number): number {
  return (10 * solidsPct) / dryUm;
}

export interface BarrierArea {
  wallsMm2: number;
  marginMm2: number;
  backCoatMm2: number;
  oversprayMm2: number;
}

/**
 * Area sprayed for the pieces of one fill. The ring between two distances from a rim of length L is, by Steiner's
 * formula for the parallel curve of a convex figure, L (b - a) + pi (b² - a²). Rings never exceed the land.
 */
export function barrierArea(pieces: readonly Piece[], plate: PlateLoad, assume: Assumptions = usual): BarrierArea {
  const { barrierMarginMm: margin, oversprayMm } = assume;
  const ring = (from: number, to: number) =>
    pieces.reduce((sum, { rimLengthMm }) => {
      return sum + (rimLengthMm === null ? 0 : rimLengthMm * (to - from) + Math.PI * (to ** 2 - from ** 2));
    }, 0);
  const land = plate.landAreaMm2 ?? Number.POSITIVE_INFINITY;
  const marginMm2 = Math.min(ring(0, margin), land);
  return {
    wallsMm2: pieces.reduce((sum, piece) => sum + (piece.wallAreaMm2 ?? 0), 0),
    marginMm2,
    backCoatMm2: pieces.reduce((sum, piece) => sum + (piece.openingAreaMm2 ?? 0), 0),
    oversprayMm2: Math.min(ring(margin, margin + oversprayMm), land - marginMm2),
  };
}

/** What a barrier over an area takes. */
export interface BarrierNeed {
  dryMl: number;
  /** Wet, as supplied, that must land. */
  landedMl: number;
  /** As it leaves the gun, thinned. */
  sprayedMl: number;
  lacquerMl: number;
  thinnerMl: number;
  lacquerG: number;
  thinnerG: number;
  /** All that evaporates: the thinner, and the solvent in the lacquer. */
  solventG: number;
  passes: number;
  airbrushCups: number;
}

export function solventOf(spec: BarrierSpec): Solvent {
  return solvents.find(({ name }) => name === spec.lacquer.solvent)!;
}

export function barrierNeed(areaMm2: number, spec: BarrierSpec, { passFilmMm }: Assumptions = usual): BarrierNeed {
  const { lacquer, filmUm, thinnerParts } = spec;
  const transfer = (spec.transferPct ?? transferRangePct.least) / 100;
  const solids = lacquer.solidsVolumePct / 100;
  const dryMl = (areaMm2 * filmUm) / 1e6;
  const landedMl = dryMl / solids;
  const lacquerMl = landedMl / transfer;
  const thinnerMl = lacquerMl * thinnerParts;
  const sprayedMl = lacquerMl + thinnerMl;
  const solvent = solventOf(spec);
  const wetUm = wetFilmUm(filmUm, lacquer.solidsVolumePct / (1 + thinnerParts));
  return {
    dryMl,
    landedMl,
    sprayedMl,
    lacquerMl,
    thinnerMl,
    lacquerG: lacquerMl * lacquer.densityGPerMl,
    thinnerG: thinnerMl * solvent.densityGPerMl,
    solventG: (thinnerMl + lacquerMl * (1 - solids)) * solvent.densityGPerMl,
    passes: Math.ceil(wetUm / (1000 * passFilmMm) - 1e-9),
    airbrushCups: Math.ceil(sprayedMl / spec.airbrushCupMl - 1e-9),
  };
}

/** The barrier of a whole plan, as the mix document shows it. */
export interface BarrierEntry extends BarrierNeed {
  lacquer: string;
  solvent: string;
  flashPointC: number;
  /** Hazard statements of the GHS. */
  hazardCodes: string[];
  typical: boolean;
  filmUm: number;
  thinnerParts: number;
  transferPct: number;
  transferFrom: 'option' | 'default';
  area: BarrierArea;
}

/** The barrier of some fills; undefined where no area is known. */
export function planBarrier(
  kinds: readonly FillKind[],
  plates: readonly PlateLoad[],
  spec: BarrierSpec,
  assume: Assumptions = usual,
): BarrierEntry | undefined {
  const area: BarrierArea = { wallsMm2: 0, marginMm2: 0, backCoatMm2: 0, oversprayMm2: 0 };
  for (const kind of kinds) {
    const one = barrierArea(kind.pieces, plates[kind.plate]!, assume);
    for (const key of Object.keys(area) as (keyof BarrierArea)[]) area[key] += one[key] * kind.count;
  }
  const total = Object.values(area).reduce((sum, part) => sum + part, 0);
  if (total === 0) return undefined;
  const solvent = solventOf(spec);
  return {
    lacquer: spec.lacquer.name,
    solvent: spec.lacquer.solvent,
    flashPointC: solvent.flashPointC,
    hazardCodes: [...solvent.hazardCodes],
    typical: spec.typical,
    filmUm: spec.filmUm,
    thinnerParts: spec.thinnerParts,
    transferPct: spec.transferPct ?? transferRangePct.least,
    transferFrom: spec.transferPct === undefined ? 'default' : 'option',
    area,
    ...barrierNeed(total, spec, assume),
  };
}
