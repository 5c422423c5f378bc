import type { WayOfCasting } from './allowances.js';
import { number, type Place, type Reader, record } from './shape.js';
import { percent, quantity } from './shelf/figure-readers.js';

/**
 * Figures of the bench that no data sheet states. All are common practice, no source: the person can put in another,
 * and a plan lists those that it used.
 */
export interface Assumptions {
  readonly overPct: number;
  /** Film that the scraper leaves on the land, straight casting. */
  readonly scrapeFilmMm: number;
  readonly massagePct: number;
  readonly gloveAndSpatulaG: number;
  /** Share of the pot life that is used, counted from the moment that A meets B. */
  readonly potLifeUsedPct: number;
  /** By what the pot life shortens per 10 °C where the data sheet has one point. */
  readonly potLifeFactor: number;
  readonly mixingMin: number;
  readonly vacuumMin: number;
  /** From the full cup to the scraped plate: so much a fill, and so much a cavity. */
  readonly fillMin: number;
  readonly cavityMin: number;
  /** How much of a cup the mix may take, so that it can be stirred; under vacuum it rises. */
  readonly cupSharePct: number;
  readonly vacuumCupSharePct: number;
  /** Under this the scale's step and what clings to the stick weigh too much. */
  readonly smallMixG: number;
  /** Colour that starts to disturb cure and strength. */
  readonly pigmentLimitPct: number;
  readonly flockLimitPct: number;
  /** Sprayed round each rim, and beyond that. */
  readonly barrierMarginMm: number;
  readonly oversprayMm: number;
  /** Wet film that one pass lays down, and the time that a pass takes on one plate. */
  readonly passFilmMm: number;
  readonly passMin: number;
  /** The air where one breathes, in times the room's mean. */
  readonly breathingLeast: number;
  readonly breathingMost: number;
  /** A part this close to its ratio is left as it is. */
  readonly ratioTolerancePct: number;
  /** After this share of the pot life a mix is not stirred up again. */
  readonly rescueUntilPct: number;
  readonly weighingMin: number;
  readonly flashOffMin: number;
  readonly liftingMin: number;
  /** Days to trim, seam and patch-test a piece before it is worn. */
  readonly finishingDays: number;
}

export type GivenAssumptions = Partial<Assumptions>;

/** What of a plan decides which figures it used. */
export interface Used {
  readonly way: WayOfCasting;
  readonly degassed: boolean;
  /** An overfill, or a learned loss, stands in place of the assumed one. */
  readonly overGiven: boolean;
  readonly beyondGiven: boolean;
  readonly potLife: 'none' | 'stated' | 'rule of thumb';
  readonly tinted: boolean;
  readonly vapour: boolean;
  /** A whole job with its days, not only a mix. */
  readonly job: boolean;
}

interface Figure {
  /** As the person writes it. */
  readonly name: string;
  readonly unit: string;
  readonly read: Reader<number>;
  readonly value: number | Readonly<Record<WayOfCasting, number>>;
  readonly used: (use: Used) => boolean;
}

const pct = percent(0, 100);
const minutes = quantity('time', 0, 240);
const mm = quantity('length', 0, 100);
const grams = quantity('mass', 0, 1000);
const days: Reader<number> = (value, place) => Math.ceil(quantity('time', 0, 60 * 1440)(value, place) / 1440 - 1e-9);
const always = (): boolean => true;
const never = (): boolean => false;
const sprayed = ({ way }: Used): boolean => way === 'encapsulated';
const clock = ({ potLife }: Used): boolean => potLife !== 'none';

const figures: { readonly [K in keyof Assumptions]: Figure } = {
  overPct: { name: 'over', unit: '%', read: pct, value: 5, used: ({ overGiven }) => !overGiven },
  scrapeFilmMm: {
    name: 'scrape-film',
    unit: 'mm',
    read: quantity('length', 0, 5),
    value: 0.2,
    used: ({ way, beyondGiven }) => way === 'straight' && !beyondGiven,
  },
  massagePct: {
    name: 'massage',
    unit: '%',
    read: pct,
    value: 15,
    used: ({ way, beyondGiven }) => way === 'encapsulated' && !beyondGiven,
  },
  gloveAndSpatulaG: {
    name: 'glove-and-spatula',
    unit: 'g',
    read: grams,
    value: 2,
    used: ({ way, beyondGiven }) => way === 'encapsulated' && !beyondGiven,
  },
  potLifeUsedPct: { name: 'pot-life-used', unit: '%', read: percent(5, 100), value: 70, used: clock },
  potLifeFactor: {
    name: 'pot-life-factor',
    unit: '',
    read: number(1, 10),
    value: 2,
    used: ({ potLife }) => potLife === 'rule of thumb',
  },
  mixingMin: { name: 'mixing', unit: 'min', read: minutes, value: 3, used: always },
  vacuumMin: { name: 'vacuum', unit: 'min', read: minutes, value: 5, used: ({ degassed }) => degassed },
  fillMin: { name: 'fill', unit: 'min', read: minutes, value: { straight: 3, encapsulated: 5 }, used: always },
  cavityMin: { name: 'cavity', unit: 'min', read: minutes, value: { straight: 1, encapsulated: 2.5 }, used: always },
  cupSharePct: {
    name: 'cup-share',
    unit: '%',
    read: percent(5, 100),
    value: 80,
    used: ({ degassed }) => !degassed,
  },
  vacuumCupSharePct: {
    name: 'vacuum-cup-share',
    unit: '%',
    read: percent(5, 100),
    value: 25,
    used: ({ degassed }) => degassed,
  },
  smallMixG: { name: 'small-mix', unit: 'g', read: grams, value: 20, used: always },
  pigmentLimitPct: { name: 'pigment-limit', unit: '%', read: pct, value: 3, used: ({ tinted }) => tinted },
  flockLimitPct: { name: 'flock-limit', unit: '%', read: pct, value: 1, used: ({ tinted }) => tinted },
  barrierMarginMm: { name: 'barrier-margin', unit: 'mm', read: mm, value: 12, used: sprayed },
  oversprayMm: { name: 'overspray', unit: 'mm', read: mm, value: 15, used: sprayed },
  passFilmMm: { name: 'pass-film', unit: 'mm', read: quantity('length', 0.001, 1), value: 0.05, used: sprayed },
  passMin: { name: 'pass', unit: 'min', read: quantity('time', 0.05, 60), value: 1, used: sprayed },
  breathingLeast: {
    name: 'breathing-least',
    unit: 'times',
    read: number(1, 100),
    value: 5,
    used: ({ vapour }) => vapour,
  },
  breathingMost: {
    name: 'breathing-most',
    unit: 'times',
    read: number(1, 100),
    value: 10,
    used: ({ vapour }) => vapour,
  },
  ratioTolerancePct: { name: 'ratio-tolerance', unit: '%', read: percent(0, 20), value: 2, used: never },
  rescueUntilPct: { name: 'rescue-until', unit: '%', read: pct, value: 50, used: never },
  weighingMin: { name: 'weighing', unit: 'min', read: minutes, value: 5, used: ({ job }) => job },
  flashOffMin: { name: 'flash-off', unit: 'min', read: minutes, value: 5, used: (use) => use.job && sprayed(use) },
  liftingMin: { name: 'lifting', unit: 'min', read: minutes, value: 2, used: ({ job }) => job },
  finishingDays: { name: 'finishing', unit: 'd', read: days, value: 1, used: ({ job }) => job },
};

const keys = Object.keys(figures) as (keyof Assumptions)[];

/** Every figure: as given, else as common practice has it. */
export function assumed(way: WayOfCasting, given: GivenAssumptions = {}): Assumptions {
  const value = (key: keyof Assumptions): number => {
    const own = figures[key].value;
    return given[key] ?? (typeof own === 'number' ? own : own[way]);
  };
  return Object.fromEntries(keys.map((key) => [key, value(key)])) as unknown as Assumptions;
}

const given = record({}, Object.fromEntries(keys.map((key) => [figures[key].name, figures[key].read])));

/** Figures by the names that a person writes: `{scrape-film: 0.15 mm, mixing: 4 min}`. @throws Fault `…-key-unknown` */
export function readAssumptions(value: unknown, place: Place): GivenAssumptions {
  const read = given(value, place) as Record<string, number>;
  return Object.fromEntries(
    keys.flatMap((key) => (read[figures[key].name] === undefined ? [] : [[key, read[figures[key].name]]])),
  );
}

/** One figure as a document lists it. */
export interface AssumptionEntry {
  name: string;
  value: number;
  unit: string;
  from: 'option' | 'default';
}

/** The figures that a plan used. */
export function assumptionEntries(use: Used, own: GivenAssumptions = {}): AssumptionEntry[] {
  const all = assumed(use.way, own);
  return keys
    .filter((key) => figures[key].used(use))
    .map((key) => {
      const { name, unit } = figures[key];
      return { name, value: all[key], unit, from: own[key] === undefined ? 'default' : 'option' };
    });
}

/** Names and usual figures, for a page that explains them. */
export function usualFigures(): { name: string; unit: string; value: Figure['value'] }[] {
  return keys.map((key) => ({ name: figures[key].name, unit: figures[key].unit, value: figures[key].value }));
}
