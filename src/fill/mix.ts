import { bySeverity } from '../base/finding.js';
import { addUp, type LossOptions } from './allowances.js';
import { type Assumptions, assumed, assumptionEntries, type Used } from './assumptions.js';
import { type BarrierSpec, planBarrier, solventOf, typicalBarrier } from './barrier.js';
import { type Batch, type BatchOptions, makeBatches } from './batches.js';
import { cautionsFor } from './cautions.js';
import { chooseFills, type FillChoice, type FillKind } from './choose-fills.js';
import { type DoseOptions, dosesOfFill, type MaterialOf } from './doses.js';
import type { MixDocument, MixFinding } from './mix-document.js';
import { cavityEntries, fillEntries, materialEntry } from './mix-entries.js';
import {
  batchFindings,
  masterFindings,
  nothingLearned,
  overridden,
  recipeFindings,
  roomUnknown,
  surveyFindings,
  typicalBarrierNote,
  unknownAreaFindings,
  unmeasuredFindings,
  unusedDespite,
  vapourFindings,
} from './mix-findings.js';
import { lined, type PlateLoad } from './plate-load.js';
import { potLifeAt } from './pot-life.js';
import type { Recipe } from './recipe.js';
import { planVapour, type Room, type VapourEntry } from './vapour.js';
import { masterOf, weighOut } from './weigh-out.js';
import { isTinted, tintedName } from './weighing-order.js';

export interface MixOptions extends FillChoice, LossOptions, BatchOptions {
  /** The materials, at least one. */
  readonly recipes: readonly Recipe[];
  /** Which of them a piece is cast in; the first where not given. */
  readonly materialOf?: MaterialOf | undefined;
  /**
   * The fills session by session, in place of a choice: a batch is poured within one session. Kinds with the pieces of
   * the given plates.
   */
  readonly sessions?: readonly (readonly FillKind[])[] | undefined;
  /** The barrier of encapsulated pieces; typical figures where not given. */
  readonly barrier?: BarrierSpec | undefined;
  /** The room that is sprayed in. */
  readonly room?: Room | undefined;
  /** Grams left of tinted masters, by name. */
  readonly mastersLeftG?: Readonly<Record<string, number>> | undefined;
  /** Codes of stop findings that the person overrides. */
  readonly despite?: readonly string[] | undefined;
}

/**
 * Plans the silicone of one or more plates: grams of every part for each cavity, each fill and each batch.
 * Mass is volume times the density of the mixed material; a batch's parts are rounded up to the scale's step after the
 * ratio.
 */
export function planMix(given: readonly PlateLoad[], options: MixOptions): MixDocument {
  const { recipes, way, scale, roomC } = options;
  const barrier = way === 'encapsulated' ? (options.barrier ?? typicalBarrier) : undefined;
  const plates = barrier === undefined ? given : given.map((plate) => linedPlate(plate, barrier.filmUm / 1000));
  const assume = assumed(way, options.assume);
  const doseOptions: DoseOptions & BatchOptions = { ...options, materialOf: options.materialOf ?? (() => 0) };
  const chosen = options.sessions?.map((kinds) => fromPlates(kinds, plates)) ?? [chooseFills(plates, options)];
  const sessions = chosen.map((kinds) => kinds.map(measuredOnly).filter(({ pieces }) => pieces.length > 0));
  const kinds = sessions.flat();
  const spray = barrier && planBarrier(kinds, plates, barrier, assume);
  const batches = sessions.flatMap((session, index) => sessionBatches(session, index, plates, doseOptions));
  const entries = batches.map(({ batch, session }) => weighOut(batch, session, recipes[batch.material]!, scale));
  const allowances = batches.flatMap(({ batch }) => [...batch.doses.flatMap((dose) => dose.allowances), batch.cupLoss]);
  const masters = recipes.flatMap((recipe, material) => {
    if (!isTinted(recipe.portions)) return [];
    const leftG = options.mastersLeftG?.[`${recipe.name}: ${tintedName(recipe.tintInto)}`] ?? 0;
    return [masterOf(material, recipe, entries, leftG, scale)];
  });
  const vapour = spray && barrier && options.room && worstVapour(sessions, plates, barrier, options.room, assume);
  const findings: MixFinding[] = [
    ...surveyFindings(given, way),
    ...(options.overfillPct === undefined || spray !== undefined ? unknownAreaFindings(kinds, plates, way) : []),
    ...(options.learned && Object.keys(options.learned).length === 0 ? [nothingLearned] : []),
    ...unmeasuredFindings(chosen.flat()),
    ...recipes.flatMap((recipe) => recipeFindings(recipe, roomC, options.degassed ?? false, assume)),
    ...batchFindings(
      batches.map(({ batch }) => batch),
      entries,
      assume,
    ),
    ...masterFindings(masters, scale),
    ...(spray?.typical ? [typicalBarrierNote] : []),
    ...(spray && !options.room ? [roomUnknown] : []),
    ...(vapour ? vapourFindings(vapour) : []),
  ];
  return {
    format: 'plateful.mix',
    version: 1,
    way,
    degassed: options.degassed ?? false,
    plates: plates.map(({ file }, plate) => ({ file, fills: fillCount(kinds, plate) })),
    materials: recipes.map((recipe) => materialEntry(recipe, roomC, assume.potLifeFactor)),
    perCavity: cavityEntries(kinds, doseOptions),
    perFill: fillEntries(kinds, plates, doseOptions),
    allowances: addUp(allowances),
    assumptions: assumptionEntries(usedBy(options, vapour !== undefined), options.assume),
    batches: entries,
    masters,
    barrier: spray ?? null,
    vapour: vapour ?? null,
    findings: bySeverity([
      ...findings.map((finding) => overridden(finding, options.despite ?? [])),
      ...(options.sessions === undefined ? unusedDespite(findings, options.despite ?? []) : []),
    ]),
    cautions: cautionsFor({ way, recipes, degassed: options.degassed ?? false }),
  };
}

/** Which of the assumed figures a plan used. */
function usedBy(options: MixOptions, vapour: boolean): Used {
  const { recipes, way, roomC, overfillPct, learned, degassed = false } = options;
  const learnedBeyond = way === 'straight' ? learned?.scrapeFilmMm : learned?.massagePct;
  const from = recipes.map(({ silicone }) => potLifeAt(silicone, roomC)?.from);
  const stated = from.some((one) => one !== undefined);
  return {
    way,
    degassed,
    overGiven: overfillPct !== undefined,
    beyondGiven: overfillPct !== undefined || learnedBeyond !== undefined,
    potLife: from.includes('rule of thumb') ? 'rule of thumb' : stated ? 'stated' : 'none',
    tinted: recipes.some(({ portions }) => isTinted(portions)),
    vapour,
    job: options.sessions !== undefined,
  };
}

function linedPlate(plate: PlateLoad, filmMm: number): PlateLoad {
  return { ...plate, pieces: plate.pieces.map((piece) => lined(piece, filmMm)) };
}

/** The same kinds of fills with the pieces as these plates have them. */
function fromPlates(kinds: readonly FillKind[], plates: readonly PlateLoad[]): FillKind[] {
  return kinds.map((kind) => {
    const numbers = new Set(kind.pieces.map(({ number }) => number));
    return { ...kind, pieces: plates[kind.plate]!.pieces.filter(({ number }) => numbers.has(number)) };
  });
}

function measuredOnly(kind: FillKind): FillKind {
  return { ...kind, pieces: kind.pieces.filter(({ volumeMm3 }) => volumeMm3 !== null) };
}

function fillCount(kinds: readonly FillKind[], plate: number): number {
  return kinds.reduce((sum, kind) => sum + (kind.plate === plate ? kind.count : 0), 0);
}

/** The batches of one session, material by material. */
function sessionBatches(
  session: readonly FillKind[],
  index: number,
  plates: readonly PlateLoad[],
  options: DoseOptions & BatchOptions,
): { batch: Batch; session: number }[] {
  const doses = session.flatMap((kind) => {
    const one = dosesOfFill(kind, plates[kind.plate]!, options);
    return Array.from({ length: kind.count }, () => one).flat();
  });
  return options.recipes
    .flatMap((_, material) => {
      const own = doses.filter((dose) => dose.material === material);
      return own.length === 0 ? [] : makeBatches(own, material, options);
    })
    .map((batch) => ({ batch, session: index }));
}

/** The air in the session that sprays the most. */
function worstVapour(
  sessions: readonly (readonly FillKind[])[],
  plates: readonly PlateLoad[],
  barrier: BarrierSpec,
  room: Room,
  assume: Assumptions,
): VapourEntry | undefined {
  const all = sessions.map((session) => {
    const { solventG = 0, passes = 0 } = planBarrier(session, plates, barrier, assume) ?? {};
    const fills = session.reduce((sum, { count }) => sum + count, 0);
    return { solventG, minutes: passes * assume.passMin * fills };
  });
  const worst = all.reduce((a, b) => (b.solventG > a.solventG ? b : a), { solventG: 0, minutes: 0 });
  return worst.solventG === 0 ? undefined : planVapour(solventOf(barrier), worst.solventG, worst.minutes, room, assume);
}
