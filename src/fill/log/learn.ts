import type { LearnedLosses, WayOfCasting } from '../allowances.js';
import { type Log, type Run, runsOf } from './entry.js';
import { type Estimate, type Point, robustLine } from './robust-line.js';

/** The losses that the runs of one way of casting show. */
export interface Lesson {
  readonly way: WayOfCasting;
  readonly runs: number;
  /** Entries that were left out: their masses do not fit the others. */
  readonly outliers: readonly number[];
  /** Entries that tell nothing, since not every piece of the batch was weighed. */
  readonly incomplete: readonly number[];
  /** What stays in the cup, a batch. */
  readonly cupLossG: Estimate;
  /** Straight: film on the land, mm. Encapsulated: massage, glove and spatula, per cent of the pieces. */
  readonly beyond: Estimate;
  readonly beyondUnit: 'mm' | '%';
}

export interface Lessons {
  readonly lessons: readonly Lesson[];
  /** Ways with runs from which nothing can be learned yet, and why. */
  readonly notYet: readonly { way: WayOfCasting; runs: number; why: string }[];
}

/** No more runs than this are looked at, the latest: habits change, and so do scrapers. */
const mostRuns = 100;

/**
 * Fits what is lost: mixed = pieces + left over + cup + rate x driver. The driver of the rate is the swept land for
 * straight casting (then the rate is a film's thickness) and the pieces' mass for encapsulated.
 */
export function learnLosses(log: Log): Lessons {
  const lessons: Lesson[] = [];
  const notYet: { way: WayOfCasting; runs: number; why: string }[] = [];
  for (const way of ['straight', 'encapsulated'] as const) {
    const all = runsOf(log).filter(({ run }) => run.way === way);
    if (all.length === 0) continue;
    const complete = all.filter(({ run }) => run.casts.length === run.pieces).slice(-mostRuns);
    const line = robustLine(complete.map(({ run }) => pointOf(run)));
    if (line === undefined) {
      const why =
        complete.length < 5
          ? 'fewer than five runs have all their pieces weighed'
          : 'all batches swept the same; fill another number of plates from one batch now and then';
      notYet.push({ way, runs: all.length, why });
      continue;
    }
    const scale = way === 'straight' ? 1 : 100;
    const { value, low, high } = line.slope;
    lessons.push({
      way,
      runs: complete.length,
      outliers: line.outliers.map((i) => complete[i]!.entry),
      incomplete: all.filter(({ run }) => run.casts.length !== run.pieces).map(({ entry }) => entry),
      cupLossG: line.intercept,
      beyond: { value: scale * value, low: scale * low, high: scale * high },
      beyondUnit: way === 'straight' ? 'mm' : '%',
    });
  }
  return { lessons, notYet };
}

function pointOf(run: Run): Point {
  const sum = (list: readonly { massG: number }[]) => list.reduce((total, { massG }) => total + massG, 0);
  const pieces = sum(run.casts);
  const x = run.way === 'straight' ? (run.sweptMm2 / 1000) * run.densityGPerMl : pieces;
  return { x, y: sum(run.weighed) - run.leftG - pieces };
}

/** What a plan uses of the lessons; a loss below 0 cannot be, and counts as none. */
export function learnedFor(way: WayOfCasting, { lessons }: Lessons): LearnedLosses | undefined {
  const lesson = lessons.find((one) => one.way === way);
  if (lesson === undefined) return undefined;
  const cupLossG = Math.max(0, lesson.cupLossG.value);
  const beyond = Math.max(0, lesson.beyond.value);
  return way === 'straight' ? { cupLossG, scrapeFilmMm: beyond } : { cupLossG, massagePct: beyond };
}
