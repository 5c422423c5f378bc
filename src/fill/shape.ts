import { suggestName } from '../base/closest-name.js';
import { Fault } from '../base/fault.js';

/**
 * Small readers that hold a parsed value (JSON or YAML) against the shape it must have, and say where it does not.
 * A reader takes the value and its place, and gives the value typed, or throws a coded Fault.
 */
export type Reader<T> = (value: unknown, place: Place) => T;
export type Path = readonly (string | number)[];

/** Where a value stands in a document; makes the faults. */
export class Place {
  /**
   * @param kind first word of the fault codes: `shelf` gives `shelf-key-unknown`
   * @param lineOf line of the value at a path, where the text's lines are known
   */
  constructor(
    readonly kind: string,
    readonly path: Path = [],
    private readonly lineOf?: (path: Path) => number | undefined,
  ) {}

  at(key: string | number): Place {
    return new Place(this.kind, [...this.path, key], this.lineOf);
  }

  fault(what: string, message: string, remedy: string): Fault {
    const { where } = this;
    return new Fault({ code: `${this.kind}-${what}`, message, remedy, ...(where !== '' && { where }) });
  }

  /** Does what asks for a value that stands here; a fault in it is one of this place. */
  within<T>(task: () => T): T {
    try {
      return task();
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      const { code, message, remedy = '', file } = error;
      throw new Fault({ code, message, remedy, where: error.where ?? this.where, ...(file !== undefined && { file }) });
    }
  }

  private get where(): string {
    const line = this.lineOf?.(this.path);
    const key = this.path
      .map((step, i) => (typeof step === 'number' ? `[${step}]` : `${i ? '.' : ''}${step}`))
      .join('');
    return [line === undefined ? '' : `line ${line}`, key === '' ? '' : `key ${key}`].filter(Boolean).join(', ');
  }
}

/** A value as a fault message quotes it: short, on one line. */
export function quoted(value: unknown): string {
  const text = JSON.stringify(value) ?? String(value);
  return text.length > 40 ? `${text.slice(0, 39)}…` : text;
}

export const text: Reader<string> = (value, place) => {
  if (typeof value === 'string' && value.trim() !== '') return value;
  throw place.fault('text-expected', `${quoted(value)} is not a text.`, 'Write a name or a word here.');
};

export const flag: Reader<boolean> = (value, place) => {
  if (typeof value === 'boolean') return value;
  throw place.fault('flag-expected', `${quoted(value)} is neither true nor false.`, 'Write true or false.');
};

/** A finite number within limits, both allowed. */
export function number(min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY): Reader<number> {
  return (value, place) => {
    if (typeof value !== 'number' || !Number.isFinite(value)) {
      throw place.fault('number-expected', `${quoted(value)} is not a number.`, 'Write a plain number.');
    }
    if (value >= min && value <= max) return value;
    const limits = max === Number.POSITIVE_INFINITY ? `${min} or more` : `from ${min} to ${max}`;
    throw place.fault('out-of-range', `${value} is out of range.`, `Give a number ${limits}.`);
  };
}

/** A finite number above 0. */
export const positive: Reader<number> = (value, place) => {
  const any = number()(value, place);
  if (any > 0) return any;
  throw place.fault('out-of-range', `${any} is out of range.`, 'Give a number above 0.');
};

export function count(min = 0, max = 1e9): Reader<number> {
  const inRange = number(min, max);
  return (value, place) => {
    const whole = inRange(value, place);
    if (Number.isInteger(whole)) return whole;
    throw place.fault('whole-expected', `${whole} is not a whole number.`, 'Give a whole number.');
  };
}

export function oneOf<const T extends string | number>(...known: T[]): Reader<T> {
  return (value, place) => {
    if (known.includes(value as T)) return value as T;
    const words = known.map(String);
    throw place.fault('word-unknown', `${quoted(value)} is not known here.`, suggestName(String(value), words));
  };
}

export function orNull<T>(inner: Reader<T>): Reader<T | null> {
  return (value, place) => (value === null ? null : inner(value, place));
}

export function list<T>(inner: Reader<T>): Reader<T[]> {
  return (value, place) => {
    if (Array.isArray(value)) return value.map((item, index) => inner(item, place.at(index)));
    throw place.fault('list-expected', `${quoted(value)} is not a list.`, 'Write a list here.');
  };
}

/** A list of a fixed number of values of one kind. */
export function vector<T>(length: number, inner: Reader<T>): Reader<T[]> {
  return (value, place) => {
    const values = list(inner)(value, place);
    if (values.length === length) return values;
    throw place.fault('list-length', `The list holds ${values.length} values.`, `Give exactly ${length}.`);
  };
}

type Readers = Record<string, Reader<unknown>>;
type Values<R extends Readers> = { [K in keyof R]: R[K] extends Reader<infer T> ? T : never };
export type Shaped<R> = R extends Reader<infer T> ? T : never;

export interface RecordRules {
  /** Keys beyond the known ones are let pass and dropped. */
  readonly open?: boolean;
}

/** An object with the required keys, and optional ones that may be absent. */
export function record<R extends Readers, O extends Readers = Record<never, never>>(
  required: R,
  optional?: O,
  rules: RecordRules = {},
): Reader<Values<R> & Partial<Values<O>>> {
  const readers: Readers = { ...required, ...optional };
  const known = Object.keys(readers);
  return (value, place) => {
    if (value === null || typeof value !== 'object' || Array.isArray(value)) {
      throw place.fault(
        'record-expected',
        `${quoted(value)} is not a record.`,
        `Write keys here: ${known.join(', ')}.`,
      );
    }
    const given = value as Record<string, unknown>;
    const result: Record<string, unknown> = {};
    for (const [key, inner] of Object.entries(given)) {
      const reader = Object.hasOwn(readers, key) ? readers[key] : undefined;
      if (reader !== undefined) result[key] = reader(inner, place.at(key));
      else if (!rules.open) {
        throw place.at(key).fault('key-unknown', `The key ${quoted(key)} is not known.`, suggestName(key, known));
      }
    }
    for (const key of Object.keys(required)) {
      if (Object.hasOwn(given, key)) continue;
      throw place.at(key).fault('key-missing', `The key '${key}' is missing.`, `Add '${key}'.`);
    }
    return result as Values<R> & Partial<Values<O>>;
  };
}
