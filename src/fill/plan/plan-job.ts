import { suggestName } from '../../base/closest-name.js';
import { Fault } from '../../base/fault.js';
import { bySeverity } from '../../base/finding.js';
import type { LearnedLosses } from '../allowances.js';
import { assumed } from '../assumptions.js';
import { type BarrierEntry, planBarrier } from '../barrier.js';
import { chooseBarrier } from '../choose-barrier.js';
import { chooseRecipe } from '../choose-recipe.js';
import { planMix } from '../mix.js';
import type { MixDocument, MixFinding } from '../mix-document.js';
import { asBefore, overridden, unusedDespite } from '../mix-findings.js';
import type { Piece, PlateLoad } from '../plate-load.js';
import type { Recipe } from '../recipe.js';
import type { Shelf } from '../shelf/shelf.js';
import { planMoney, staleLots } from './money.js';
import { expectedRejectsPct, type Need, needsOf, usualTurns } from './needs.js';
import type { DayPlan, PieceNeed, PlanDocument } from './plan-document.js';
import type { PlanFile } from './plan-file.js';
import { type Schedule, type Session, schedule } from './schedule.js';
import { longDayMinutes, type TimetableOptions, timedSession, timetable } from './timetable.js';

export interface JobInputs {
  readonly plan: PlanFile;
  /** The plates of the plan, in its order. */
  readonly plates: readonly PlateLoad[];
  readonly shelf: Shelf | undefined;
  readonly learned?: LearnedLosses | undefined;
}

/**
 * The whole plan: who needs what by when, the days and turns that cast it, the silicone of every turn, the barrier,
 * the money and the stock.
 * @throws Fault where the plan names a piece, a material or a lacquer that is not there
 */
export function planJob({ plan, plates, shelf, learned }: JobInputs): PlanDocument {
  const { recipes, materialOf } = materialsOf(plan, plates, shelf);
  checkWants(plan, plates);
  const cure = recipes.map(({ silicone }) => silicone.cureTime?.minutes);
  const cureMinutes = cure.includes(undefined) ? undefined : Math.max(...cure.map((minutes) => minutes!));
  const cureDays = Math.max(1, Math.ceil((cureMinutes ?? 0) / 1440));
  const given = { ...shelf?.assume, ...plan.assume };
  const assume = assumed(plan.way, given);
  const needs = needsOf(plan, cureDays, assume.finishingDays);
  const turns = plan.turns ?? usualTurns[plan.way];
  const times = schedule(plates, plan.plates, needs, { start: plan.start, daysOff: plan.daysOff, turns });
  const barrier =
    plan.way === 'encapsulated'
      ? plan.place
          .at('barrier')
          .at('lacquer')
          .within(() => chooseBarrier(plan.barrier, shelf))
      : undefined;
  const mix = planMix(plates, {
    recipes,
    materialOf,
    way: plan.way,
    sessions: times.sessions.map(({ kinds }) => kinds),
    overfillPct: plan.overfillPct,
    cupLossG: plan.cupLossG,
    learned,
    assume: given,
    roomC: plan.roomC,
    cupsMl: plan.cupsMl,
    scale: plan.scale,
    degassed: plan.vacuum,
    barrier,
    room: plan.room,
    mastersLeftG: Object.fromEntries((shelf?.masters ?? []).map(({ name, leftG }) => [name, leftG])),
    despite: plan.despite,
  });
  const sprays = times.sessions.map(({ kinds }) => barrier && planBarrier(kinds, plates, barrier, assume));
  const pieces = needs.map((need, i) => pieceNeed(need, times.castOn[i]!));
  const { days, long, overnight } = dayPlans(times, mix, plan, { cureMinutes, assume, sprays });
  const money = planMoney(mix, recipes, {
    currency: shelf?.currency ?? '',
    deliveryDays: plan.deliveryDays,
    dayOfSession: times.sessions.map(({ date }) => date),
    sprays,
    thinners: shelf?.additives.filter(({ kind }) => kind === 'thinner') ?? [],
    lacquer: shelf?.lacquers.find(({ name }) => name === plan.barrier.lacquer),
  });
  const lastDay = times.sessions.at(-1)?.date ?? plan.start;
  const findings: MixFinding[] = [
    ...lateFindings(pieces),
    ...plateFindings(times, plan),
    ...long.map(
      (date): MixFinding => ({
        code: 'long-day',
        severity: 'caution',
        message: `${date} takes more than ${longDayMinutes / 60} hours: fewer turns a day, more copies, or more hands.`,
      }),
    ),
    ...overnight.map(
      (date): MixFinding => ({
        code: 'barrier-another-day',
        severity: 'caution',
        message: `On ${date} the silicone comes after midnight, and barrier and silicone belong to the same day (common practice, no source): fill fewer plates a turn.`,
      }),
    ),
    ...staleLots(recipes, shelf, lastDay).map(
      (lot): MixFinding => ({
        code: 'lot-too-old',
        severity: 'caution',
        message: `${lot} is past its day before the plan ends; it is not counted on.`,
      }),
    ),
    ...assumptions(plan, turns),
  ];
  return {
    format: 'plateful.plan',
    version: 1,
    pieces,
    plates: plates.map(({ file }, i) => ({
      file,
      copies: plan.plates[i]!.copies,
      fills: times.plates[i]!.fills,
      scrapFills: times.plates[i]!.scrap,
      copiesNeeded: times.plates[i]!.copiesNeeded,
    })),
    days,
    leftOver: leftOver(needs, plan),
    mix,
    money,
    findings: bySeverity([
      ...findings.map((one) => overridden(one, plan.despite)),
      ...mix.findings,
      ...unusedDespite([...findings, ...mix.findings.map(asBefore)], plan.despite),
    ]),
    cautions: mix.cautions,
  };
}

function pieceUnknown(message: string, piece: string, known: readonly string[]): never {
  throw new Fault({ code: 'piece-unknown', message, remedy: suggestName(piece, [...new Set(known)]) });
}

/** Every wanted piece must be on a plate. */
function checkWants({ wants }: PlanFile, plates: readonly PlateLoad[]): void {
  const known = plates.flatMap(({ pieces }) => pieces.map(({ name }) => name));
  for (const { piece, place } of wants) {
    if (known.includes(piece)) continue;
    place.at('piece').within(() => pieceUnknown(`No plate has a piece '${piece}'.`, piece, known));
  }
}

/** The materials of a plan, each once, and which piece takes which. */
function materialsOf(plan: PlanFile, plates: readonly PlateLoad[], shelf: Shelf | undefined) {
  const recipes: Recipe[] = [];
  const indexOf = (name: string | undefined): number => {
    const recipe = chooseRecipe({ name }, shelf);
    const found = recipes.findIndex((one) => one.name === recipe.name);
    return found >= 0 ? found : recipes.push(recipe) - 1;
  };
  const main = plan.place.at('material').within(() => indexOf(plan.material));
  const placeOf = (i: number, name: string) => plan.place.at('plates').at(i).at('materials').at(name);
  const byPiece = plan.plates.map(({ materials }, i) => {
    for (const name of Object.keys(materials)) {
      const known = plates[i]!.pieces.map((piece) => piece.name);
      if (known.includes(name)) continue;
      const message = `Plate ${i + 1} has no piece '${name}'.`;
      placeOf(i, name).within(() => pieceUnknown(message, name, known));
    }
    return new Map(
      Object.entries(materials).map(([name, material]) => [name, placeOf(i, name).within(() => indexOf(material))]),
    );
  });
  const materialOf = (plate: number, piece: Piece): number => byPiece[plate]?.get(piece.name) ?? main;
  return { recipes, materialOf };
}

function pieceNeed(need: Need, castOn: string): PieceNeed {
  const { piece, count, spares, rejects, toCast, by, lastDay } = need;
  const met = castOn !== '' && (lastDay === undefined || (lastDay !== null && castOn <= lastDay));
  return { piece, count, spares, rejects, toCast, by: by ?? null, lastDay: lastDay ?? null, castOn, met };
}

interface DayOptions extends Pick<TimetableOptions, 'cureMinutes' | 'assume'> {
  /** The barrier of each session. */
  readonly sprays: readonly (BarrierEntry | undefined)[];
}

function dayPlans(
  { sessions }: Schedule,
  mix: MixDocument,
  plan: PlanFile,
  { cureMinutes, assume, sprays }: DayOptions,
): { days: DayPlan[]; long: string[]; overnight: string[] } {
  const long: string[] = [];
  const overnight: string[] = [];
  const dates = [...new Set(sessions.map(({ date }) => date))];
  const days = dates.map((date): DayPlan => {
    const own = sessions.flatMap((session, index) => (session.date === date ? [{ session, index }] : []));
    const timed = own.map(({ session, index }) => {
      const fills = session.kinds.reduce((sum, { count }) => sum + count, 0);
      const pieces = session.kinds.reduce((sum, kind) => sum + kind.count * kind.pieces.length, 0);
      return timedSession(mix, index, session.turn, { fills, pieces, barrier: sprays[index] });
    });
    const {
      rows,
      minutes,
      overnight: waits,
    } = timetable(timed, { begins: plan.begins, degassed: plan.vacuum, cureMinutes, assume });
    if (minutes > longDayMinutes) long.push(date);
    if (waits) overnight.push(date);
    return {
      date,
      sessions: own.map(({ session, index }) => {
        const { scrapFills, turn } = session;
        return { session: index, turn, fills: fillsOf(session), scrapFills, barrier: sprayOf(sprays[index]) };
      }),
      timetable: rows,
    };
  });
  return { days, long, overnight };
}

/** What of a turn's barrier is mixed and filled into the gun. */
function sprayOf(spray: BarrierEntry | undefined): DayPlan['sessions'][number]['barrier'] {
  if (spray === undefined) return null;
  const { lacquerMl, thinnerMl, sprayedMl, airbrushCups, passes, solventG } = spray;
  return { lacquerMl, thinnerMl, sprayedMl, airbrushCups, passes, solventG };
}

function fillsOf({ kinds }: Session): DayPlan['sessions'][number]['fills'] {
  return kinds.map(({ plate, count, pieces }) => ({ plate, count, cavities: pieces.map(({ number }) => number) }));
}

function lateFindings(pieces: readonly PieceNeed[]): MixFinding[] {
  return pieces
    .filter(({ met }) => !met)
    .map(({ piece, count, by, lastDay, castOn }): MixFinding => {
      const when = castOn === '' ? 'never' : `only on ${castOn}`;
      const last = lastDay === null ? 'no working day is left for it' : `the last day for it is ${lastDay}`;
      const message = `${count} ${piece} by ${by}: cast ${when}, and ${last}. More copies or turns, or begin earlier.`;
      return { code: 'want-late', severity: 'stop', message };
    });
}

function plateFindings({ plates }: Schedule, plan: PlanFile): MixFinding[] {
  return plates.flatMap(({ copiesNeeded }, i): MixFinding[] => {
    const { copies } = plan.plates[i]!;
    if (copiesNeeded === null || copiesNeeded <= copies) return [];
    const message = `Plate ${i + 1} is needed ${copiesNeeded} times to meet every date; there ${copies === 1 ? 'is' : 'are'} ${copies}.`;
    return [{ code: 'more-copies', severity: 'caution', plate: i, message }];
  });
}

function assumptions(plan: PlanFile, turns: number): MixFinding[] {
  const usual = [
    ...(plan.turns === undefined ? [`${turns} turn${turns === 1 ? '' : 's'} of a mould a day`] : []),
    ...(plan.rejectsPct === undefined ? [`${expectedRejectsPct[plan.way]} % rejects`] : []),
  ];
  if (usual.length === 0) return [];
  const message = `Assumed (common practice, no source): ${usual.join(', ')}.`;
  return [{ code: 'plan-assumptions', severity: 'note', message }];
}

/** Good pieces that are expected beyond what is wanted: the spares, and what whole casts leave. */
function leftOver(needs: readonly Need[], plan: PlanFile): PlanDocument['leftOver'] {
  const good = 1 - (plan.rejectsPct ?? expectedRejectsPct[plan.way]) / 100;
  const names = [...new Set(needs.map(({ piece }) => piece))];
  return names
    .map((piece) => {
      const own = needs.filter((need) => need.piece === piece);
      const cast = own.reduce((sum, { toCast }) => sum + toCast, 0);
      return { piece, count: Math.floor(cast * good + 1e-9) - own.reduce((sum, { count }) => sum + count, 0) };
    })
    .filter(({ count }) => count > 0);
}
