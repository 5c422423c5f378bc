import type { WayOfCasting } from '../allowances.js';
import { type GivenAssumptions, readAssumptions } from '../assumptions.js';
import { count, flag, list, number, oneOf, type Path, type Place, type Reader, record, text } from '../shape.js';
import { day, percent, quantity } from '../shelf/figure-readers.js';
import { readYaml } from '../shelf/yaml-text.js';

/** One want: so many of a piece, by a day. */
export interface PlanWant {
  readonly piece: string;
  readonly count: number;
  readonly spares: number;
  /** Day of the shoot or the show; `undefined`: no date. */
  readonly by: string | undefined;
  /** `hero`: pieces of background grade do not count in a top-up. */
  readonly grade: 'hero' | undefined;
  /** Where it stands in the plan, for faults that show only beside the plates. */
  readonly place: Place;
}

export interface PlanPlate {
  /** A survey or a mesh, or pieces weighed once. */
  readonly file: string | undefined;
  readonly weights: readonly { name: string; massG: number }[] | undefined;
  readonly copies: number;
  /** The first pull of each copy is scrap. */
  readonly newMould: boolean;
  /** Recipe of a piece where it is not the plan's. */
  readonly materials: Readonly<Record<string, string>>;
}

/** A plan as the person writes it. */
export interface PlanFile {
  readonly shelf: string | undefined;
  readonly way: WayOfCasting;
  readonly material: string | undefined;
  readonly plates: readonly PlanPlate[];
  readonly wants: readonly PlanWant[];
  readonly start: string;
  readonly daysOff: readonly string[];
  readonly turns: number | undefined;
  readonly rejectsPct: number | undefined;
  readonly begins: string;
  readonly deliveryDays: number;
  readonly cupsMl: readonly number[] | undefined;
  readonly scale: { readonly stepG: number | undefined; readonly maxG: number | undefined };
  readonly vacuum: boolean;
  readonly roomC: number | undefined;
  readonly room: { readonly volumeM3: number; readonly airChangesPerH: number } | undefined;
  readonly barrier: {
    readonly lacquer: string | undefined;
    readonly filmUm: number | undefined;
    readonly thinnerParts: number | undefined;
    readonly transferPct: number | undefined;
    readonly airbrushCupMl: number | undefined;
  };
  readonly overfillPct: number | undefined;
  readonly cupLossG: number | undefined;
  readonly despite: readonly string[];
  /** Figures in place of those that are assumed. */
  readonly assume: GivenAssumptions;
  readonly place: Place;
}

/** A record whose keys are names: each value through one reader. */
function named<T>(inner: Reader<T>): Reader<Record<string, T>> {
  return (value, place) => {
    if (value === null || typeof value !== 'object' || Array.isArray(value)) {
      throw place.fault('record-expected', 'Names and values are wanted here.', 'Write them as name: value.');
    }
    return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, inner(one, place.at(key))]));
  };
}

const clock: Reader<string> = (value, place) => {
  if (typeof value === 'string' && /^([01]\d|2[0-3]):[0-5]\d$/.test(value)) return value;
  throw place.fault('clock-expected', 'This is not a time of the day.', "Write it in quotes: '09:00'.");
};

export const weekdays = ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday'] as const;

const dayOff: Reader<string> = (value, place) =>
  typeof value === 'string' && /^\d/.test(value) ? day(value, place) : oneOf(...weekdays)(value, place);

const plate: Reader<PlanPlate> = (value, place) => {
  const given = record(
    {},
    {
      file: text,
      weights: named(quantity('mass', 0.01, 1e5)),
      copies: count(1, 1000),
      'new-mould': flag,
      materials: named(text),
    },
  )(value, place);
  if ((given.file === undefined) === (given.weights === undefined)) {
    throw place.fault(
      'plate-file',
      'A plate is either a file or weights.',
      "Add 'file: survey.json', or 'weights: {brow: 3.4 g}'.",
    );
  }
  const weights = given.weights && Object.entries(given.weights).map(([name, massG]) => ({ name, massG }));
  return {
    file: given.file,
    weights,
    copies: given.copies ?? 1,
    newMould: given['new-mould'] ?? false,
    materials: given.materials ?? {},
  };
};

const want: Reader<PlanWant> = (value, place) => {
  const given = record({ piece: text, count: count(1, 1e5) }, { spares: count(0, 1e5), by: day, grade: oneOf('hero') })(
    value,
    place,
  );
  return { piece: given.piece, count: given.count, spares: given.spares ?? 0, by: given.by, grade: given.grade, place };
};

/** A list that holds something. */
function someOf<T>(inner: Reader<T>): Reader<T[]> {
  return (value, place) => {
    const all = list(inner)(value, place);
    if (all.length > 0) return all;
    throw place.fault('empty', 'The list is empty.', 'List at least one, or leave the key out.');
  };
}

const plan = record(
  { plates: list(plate), wants: list(want), start: day },
  {
    shelf: text,
    way: oneOf('straight', 'encapsulated'),
    material: text,
    'days-off': list(dayOff),
    turns: count(1, 20),
    rejects: percent(0, 90),
    begins: clock,
    delivery: quantity('time', 0, 60 * 1440),
    cups: someOf(quantity('volume', 5, 50_000)),
    scale: record({}, { step: quantity('mass', 0.001, 5), max: quantity('mass', 10, 1e5) }),
    vacuum: flag,
    temperature: quantity('temperature', 0, 45),
    room: record({ volume: quantity('room', 1, 1e5) }, { 'air-changes': quantity('airChanges', 0, 200) }),
    barrier: record(
      {},
      {
        lacquer: text,
        film: quantity('length', 0.001, 0.5),
        thinner: number(0, 20),
        transfer: percent(1, 100),
        'airbrush-cup': quantity('volume', 0.5, 1000),
      },
    ),
    overfill: percent(0, 500),
    'cup-loss': quantity('mass', 0, 1000),
    despite: list(text),
    assume: readAssumptions,
  },
);

/**
 * Reads a plan file, YAML or JSON.
 * @throws Fault `plan-…` with line, key and what to do
 */
export function readPlan(yaml: string): PlanFile {
  const { value, place } = readYaml(yaml, 'plan');
  const given = plan(value, place);
  checkSense(given, place);
  const { scale, room, barrier, delivery } = given;
  return {
    shelf: given.shelf,
    way: given.way ?? 'straight',
    material: given.material,
    plates: given.plates,
    wants: given.wants,
    start: given.start,
    daysOff: given['days-off'] ?? ['saturday', 'sunday'],
    turns: given.turns,
    rejectsPct: given.rejects,
    begins: given.begins ?? '09:00',
    deliveryDays: delivery === undefined ? 3 : Math.ceil(delivery / 1440),
    cupsMl: given.cups,
    scale: { stepG: scale?.step, maxG: scale?.max },
    vacuum: given.vacuum ?? false,
    roomC: given.temperature,
    room: room && { volumeM3: room.volume, airChangesPerH: room['air-changes'] ?? 0 },
    barrier: {
      lacquer: barrier?.lacquer,
      filmUm: barrier?.film === undefined ? undefined : barrier.film * 1000,
      thinnerParts: barrier?.thinner,
      transferPct: barrier?.transfer,
      airbrushCupMl: barrier?.['airbrush-cup'],
    },
    overfillPct: given.overfill,
    cupLossG: given['cup-loss'],
    despite: given.despite ?? [],
    assume: given.assume ?? {},
    place,
  };
}

/** What each key says for itself may still make no sense together. */
function checkSense({ plates, wants, start, 'days-off': off = [] }: ReturnType<typeof plan>, place: Place): void {
  const at = (...path: Path) => path.reduce<Place>((where, step) => where.at(step), place);
  if (plates.length === 0) throw at('plates').fault('empty', 'No plate is listed.', 'List at least one.');
  if (wants.length === 0) throw at('wants').fault('empty', 'Nothing is wanted.', 'List at least one piece.');
  if (new Set(off.filter((word) => !/^\d/.test(word))).size === 7) {
    throw at('days-off').fault('no-working-day', 'No day of the week is left to work.', 'Leave at least one.');
  }
  wants.forEach(({ by, piece }, i) => {
    if (by !== undefined && by < start) {
      throw at('wants', i, 'by').fault(
        'date-order',
        `${by} is before the plan starts (${start}).`,
        'Look at both days.',
      );
    }
    const twin = wants.findIndex((other) => other.piece === piece && other.by === by);
    if (twin < i) {
      throw at('wants', i, 'piece').fault(
        'want-twice',
        `'${piece}' is wanted twice by the same day.`,
        'Add the counts up.',
      );
    }
  });
}
