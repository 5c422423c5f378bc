import type { Assumptions } from '../assumptions.js';
import type { BarrierNeed } from '../barrier.js';
import { mixMinutes } from '../bench-times.js';
import type { BatchEntry, MixDocument } from '../mix-document.js';
import { clockAfter, minutesOf } from './calendar.js';

export interface TimetableRow {
  readonly at: string;
  readonly what: string;
}

export interface TimetableOptions {
  readonly begins: string;
  readonly degassed: boolean;
  /** From the last scraped plate to lifting; `undefined`: not known. */
  readonly cureMinutes: number | undefined;
  readonly assume: Assumptions;
}

/** A working day that is longer is worth a word. */
export const longDayMinutes = 600;

/** One session: what is sprayed and which batches follow each other. */
export interface TimedSession {
  readonly turn: number;
  readonly batches: readonly { readonly number: number; readonly batch: BatchEntry }[];
  readonly barrier: Pick<BarrierNeed, 'passes' | 'lacquerMl' | 'thinnerMl' | 'airbrushCups'> | undefined;
  readonly fills: number;
  readonly pieces: number;
}

/**
 * The day as a simple timetable: barrier and silicone on the same day, batch after batch, cure, lifting; the next turn
 * of the moulds begins when they are free.
 * @returns the rows, the minutes after the beginning that hands are last needed, and whether a barrier waits for its
 *   silicone until another day
 */
export function timetable(
  sessions: readonly TimedSession[],
  options: TimetableOptions,
): { rows: TimetableRow[]; minutes: number; overnight: boolean } {
  const rows: TimetableRow[] = [];
  const { assume } = options;
  let now = 0;
  let overnight = false;
  const add = (what: string) => rows.push({ at: clockAfter(options.begins, now), what });
  for (const session of sessions) {
    const { turn, batches, barrier, fills, pieces } = session;
    const lead = sessions.length > 1 ? `turn ${turn}: ` : '';
    if (barrier !== undefined) {
      const { passes, lacquerMl, thinnerMl, airbrushCups } = barrier;
      const mixed = `${lacquerMl.toFixed(1)} ml lacquer and ${thinnerMl.toFixed(1)} ml thinner`;
      add(
        `${lead}spray the barrier, ${passes} passes over ${count(fills, 'plate')}; back coat included ${mixed}, ${count(airbrushCups, 'cup')}`,
      );
      now += barrier.passes * (assume.passMin * fills + assume.flashOffMin);
    }
    for (const { number, batch } of batches) {
      add(`${lead}weigh batch ${number}`);
      now += assume.weighingMin;
      const start = now;
      add(`A meets B; ${options.degassed ? 'mix and degas' : 'mix'}`);
      now += mixMinutes(assume, options.degassed);
      const limit = batch.usableMinutes;
      const until = limit === null ? '' : `; must be scraped by ${clockAfter(options.begins, start + limit)}`;
      add(`fill${until}`);
      now = start + batch.minutes;
    }
    overnight ||= barrier !== undefined && minutesOf(options.begins) + now > 1440;
    const lift = `${barrier === undefined ? 'lift' : 'spray the back coat, then lift'} ${count(pieces, 'piece')}`;
    const cured = options.cureMinutes === undefined ? undefined : now + options.cureMinutes;
    if (cured === undefined) {
      add(`all scraped; ${lift} when a test piece has cured (no cure time is known)`);
    } else if (session === sessions.at(-1) && cured + assume.liftingMin * pieces > longDayMinutes) {
      add(`all scraped; cured by ${clockAfter(options.begins, cured)}: ${lift} the next morning`);
    } else {
      add('all scraped; cure');
      now = cured;
      add(lift);
      now += assume.liftingMin * pieces;
    }
  }
  add('done');
  return { rows, minutes: now, overnight };
}

function count(number: number, what: string): string {
  return `${number} ${what}${number === 1 ? '' : 's'}`;
}

/** The sessions of some days, from a mix whose batches carry the index of their session. */
export function timedSession(
  mix: MixDocument,
  session: number,
  turn: number,
  { fills, pieces, barrier }: Pick<TimedSession, 'fills' | 'pieces' | 'barrier'>,
): TimedSession {
  const batches = mix.batches.flatMap((batch, i) => (batch.session === session ? [{ number: i + 1, batch }] : []));
  return { turn, batches, fills, pieces, barrier };
}
