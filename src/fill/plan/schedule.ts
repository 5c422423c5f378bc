import type { FillKind } from '../choose-fills.js';
import type { Piece, PlateLoad } from '../plate-load.js';
import { addDays, isWorkingDay } from './calendar.js';
import type { Need } from './needs.js';
import type { PlanPlate } from './plan-file.js';

/** What is filled in one turn of the moulds. */
export interface Session {
  readonly date: string;
  /** Counts from 1 on each day. */
  readonly turn: number;
  readonly kinds: readonly FillKind[];
  /** How many of the fills are first pulls of new moulds: scrap. */
  readonly scrapFills: number;
}

export interface PlateFills {
  /** First pulls of new moulds. */
  readonly scrap: number;
  /** Fills that count, all dates together. */
  readonly fills: number;
  /** Copies that it takes to meet every date; `null` where no number of copies could. */
  readonly copiesNeeded: number | null;
}

export interface Schedule {
  readonly sessions: readonly Session[];
  readonly plates: readonly PlateFills[];
  /** For each need, the day of its last cast. */
  readonly castOn: readonly string[];
}

export interface ScheduleOptions {
  readonly start: string;
  readonly daysOff: readonly string[];
  /** Turns of each mould a day. */
  readonly turns: number;
}

/** No plan is longer; a date that is still not met then never is. */
const mostDays = 3660;

/**
 * Spreads the casts over the days: every copy of a plate is filled every turn until its pieces are enough, the needs
 * in the order of their dates. A cavity whose piece is no longer needed stays empty.
 * @param needs the earliest first; each of a piece that is on a plate
 */
export function schedule(
  plates: readonly PlateLoad[],
  specs: readonly PlanPlate[],
  needs: readonly Need[],
  options: ScheduleOptions,
): Schedule {
  const targets = fillTargets(plates, needs);
  const wanted = new Map<string, number>();
  for (const { piece, toCast } of needs) wanted.set(piece, (wanted.get(piece) ?? 0) + toCast);
  const scrapLeft = specs.map(({ newMould, copies }, i) => (newMould && targets.at(-1)![i]! > 0 ? copies : 0));
  const scrap = [...scrapLeft];
  const fillsLeft = [...targets.at(-1)!];
  const cast = new Map<string, number>();
  const castOn = needs.map(() => '');
  const sessions: Session[] = [];
  let day = options.start;
  for (let i = 0; i < mostDays && fillsLeft.some(Boolean); i++, day = addDays(day, 1)) {
    if (!isWorkingDay(day, options.daysOff)) continue;
    for (let turn = 1; turn <= options.turns && fillsLeft.some(Boolean); turn++) {
      let scrapFills = 0;
      const kinds = plates.flatMap((plate, index) => {
        let copies = specs[index]!.copies;
        const own: FillKind[] = [];
        for (; copies > 0 && scrapLeft[index]! > 0; copies--, scrapLeft[index]!--) {
          own.push({ plate: index, pieces: plate.pieces, count: 1 });
          scrapFills += 1;
        }
        for (; copies > 0 && fillsLeft[index]! > 0; copies--, fillsLeft[index]!--) {
          const pieces = plate.pieces.filter(({ name }) => takeOne(name, wanted, cast));
          if (pieces.length > 0) own.push({ plate: index, pieces, count: 1 });
        }
        return joinEqual(own);
      });
      if (kinds.length > 0) sessions.push({ date: day, turn, kinds, scrapFills });
      markMet(needs, cast, castOn, day);
    }
  }
  return {
    sessions,
    castOn,
    plates: plates.map((_, index) => ({
      scrap: scrap[index]!,
      fills: targets.at(-1)![index]!,
      copiesNeeded: copiesNeeded(index, targets, specs[index]!, needs, options),
    })),
  };
}

/** One more of a piece, where one is still needed. */
function takeOne(name: string, wanted: Map<string, number>, cast: Map<string, number>): boolean {
  const done = cast.get(name) ?? 0;
  if (done >= (wanted.get(name) ?? 0)) return false;
  cast.set(name, done + 1);
  return true;
}

function joinEqual(kinds: readonly FillKind[]): FillKind[] {
  const joined: { plate: number; pieces: readonly Piece[]; count: number }[] = [];
  for (const kind of kinds) {
    const same = joined.find(
      ({ pieces }) => pieces.length === kind.pieces.length && pieces.every((piece, i) => piece === kind.pieces[i]),
    );
    if (same === undefined) joined.push({ ...kind });
    else same.count += kind.count;
  }
  return joined;
}

/** The needs are met in their order; casts of a piece go to the earliest. */
function markMet(needs: readonly Need[], cast: ReadonlyMap<string, number>, castOn: string[], day: string): void {
  const used = new Map<string, number>();
  needs.forEach(({ piece, toCast }, i) => {
    const before = (used.get(piece) ?? 0) + toCast;
    used.set(piece, before);
    if (castOn[i] === '' && (cast.get(piece) ?? 0) >= before) castOn[i] = day;
  });
}

/** Fills of each plate up to and with each need, scrap not counted: never falling. */
function fillTargets(plates: readonly PlateLoad[], needs: readonly Need[]): number[][] {
  const fills = plates.map(() => 0);
  const cavities = (name: string) => plates.map(({ pieces }) => pieces.filter((piece) => piece.name === name).length);
  const soFar = new Map<string, number>();
  return needs.map(({ piece, toCast }) => {
    const of = cavities(piece);
    soFar.set(piece, (soFar.get(piece) ?? 0) + toCast);
    const casts = () => of.reduce((sum, n, i) => sum + n * fills[i]!, 0);
    while (casts() < soFar.get(piece)!) {
      // The plate that casts the most of it takes the next fill; of equal ones the one that has fewer.
      const best = of.reduce((a, n, i) => (n > of[a]! || (n === of[a]! && fills[i]! < fills[a]!) ? i : a), 0);
      fills[best]! += 1;
    }
    return [...fills];
  });
}

function copiesNeeded(
  plate: number,
  targets: readonly number[][],
  { newMould }: PlanPlate,
  needs: readonly Need[],
  { start, daysOff, turns }: ScheduleOptions,
): number | null {
  let most = 0;
  for (const [i, { lastDay }] of needs.entries()) {
    const fills = targets[i]![plate]!;
    if (fills === 0) continue;
    if (lastDay === null) return null;
    if (lastDay === undefined) {
      most = Math.max(most, 1);
      continue;
    }
    let days = 0;
    for (let day = start; day <= lastDay; day = addDays(day, 1)) if (isWorkingDay(day, daysOff)) days += 1;
    // Each copy of a new mould spends its first turn on scrap.
    const useful = days * turns - (newMould ? 1 : 0);
    if (useful <= 0) return null;
    most = Math.max(most, Math.ceil(fills / useful));
  }
  return most;
}
