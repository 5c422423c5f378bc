import { assumed, type GivenAssumptions } from './assumptions.js';
import type { Allowance } from './mix-document.js';
import type { Piece, PlateLoad } from './plate-load.js';

/** Straight: pour and scrape. Encapsulated: barrier, massage, scrape, back coat. */
export type WayOfCasting = 'straight' | 'encapsulated';

/** Losses fitted to what was weighed before; each takes the place of its default. */
export interface LearnedLosses {
  readonly cupLossG?: number | undefined;
  readonly scrapeFilmMm?: number | undefined;
  /** Massage, glove and spatula together, of the pieces' mass. */
  readonly massagePct?: number | undefined;
}

export interface LossOptions {
  readonly way: WayOfCasting;
  /** Given: this is all that is added to the fills, in place of every default. */
  readonly overfillPct?: number | undefined;
  /** Given: this much a batch. */
  readonly cupLossG?: number | undefined;
  readonly learned?: LearnedLosses | undefined;
  readonly assume?: GivenAssumptions | undefined;
}

/**
 * What stays in the cup and on the stick: 4 g in a 100 ml cup and 8 g in a 500 ml cup (common practice, no source);
 * for other sizes the power law through these two.
 */
export function cupAllowance(cupMl: number, options: LossOptions): Allowance {
  const what = 'cup and stick';
  if (options.cupLossG !== undefined) return { what, massG: options.cupLossG, from: 'option' };
  if (options.learned?.cupLossG !== undefined) return { what, massG: options.learned.cupLossG, from: 'learned' };
  return { what, massG: 4 * (cupMl / 100) ** (Math.log(2) / Math.log(5)), from: 'default' };
}

/**
 * What one fill needs beyond its pieces.
 * @param piecesG mass of the pieces
 * @param sweptMm2 land that the scraper passes over
 * @param lowLandMm3 what stays on land that lies low under the scraper
 */
export function fillAllowances(
  piecesG: number,
  sweptMm2: number,
  lowLandMm3: number,
  densityGPerMl: number,
  options: LossOptions,
): Allowance[] {
  const { learned, overfillPct } = options;
  const assume = assumed(options.way, options.assume);
  const fromOf = (given: number | undefined) => (given === undefined ? ('default' as const) : ('option' as const));
  if (overfillPct !== undefined) return [{ what: 'overfill', massG: (piecesG * overfillPct) / 100, from: 'option' }];
  const over = (piecesG * assume.overPct) / 100;
  const lines: Allowance[] = [{ what: 'overfill', massG: over, from: fromOf(options.assume?.overPct) }];
  if (options.way === 'straight') {
    const filmMm = learned?.scrapeFilmMm ?? assume.scrapeFilmMm;
    const massG = ((sweptMm2 * filmMm) / 1000) * densityGPerMl;
    const from = learned?.scrapeFilmMm === undefined ? fromOf(options.assume?.scrapeFilmMm) : 'learned';
    if (massG > 0) lines.push({ what: 'scraped off the land', massG, from });
  } else if (learned?.massagePct === undefined) {
    const massG = (piecesG * assume.massagePct) / 100 + assume.gloveAndSpatulaG;
    const from = fromOf(options.assume?.massagePct ?? options.assume?.gloveAndSpatulaG);
    lines.push({ what: 'massage, glove and spatula', massG, from });
  } else {
    const massG = (piecesG * learned.massagePct) / 100;
    lines.push({ what: 'massage, glove and spatula', massG, from: 'learned' });
  }
  if (lowLandMm3 > 0) {
    lines.push({ what: 'film on low land', massG: (lowLandMm3 / 1000) * densityGPerMl, from: 'default' });
  }
  return lines;
}

/**
 * The land that the scraper passes over: all of it where every cavity is filled, otherwise the share of those that are,
 * by their flash bands. So it grows evenly with the pieces, and does not jump with the last one.
 */
export function sweptLandMm2(pieces: readonly Piece[], plate: PlateLoad): number {
  const flash = (list: readonly Piece[]) => list.reduce((sum, piece) => sum + (piece.flashAreaMm2 ?? 0), 0);
  const [own, all] = [flash(pieces), flash(plate.pieces)];
  if (plate.landAreaMm2 === null) return own;
  return plate.landAreaMm2 * (all > 0 ? own / all : pieces.length / plate.pieces.length);
}

/** Lines of the same kind become one. */
export function addUp(lines: readonly Allowance[]): Allowance[] {
  const byKind = new Map<string, Allowance>();
  for (const line of lines) {
    const key = `${line.what} ${line.from}`;
    const before = byKind.get(key);
    byKind.set(key, { ...line, massG: line.massG + (before?.massG ?? 0) });
  }
  return [...byKind.values()];
}
