import { count, list, number, oneOf, orNull, Place, positive, type Reader, record, text, vector } from '../shape.js';

/** Why a piece was rejected. */
export const reasons = [
  'air',
  'tear',
  'thin edge',
  'step at the edge',
  'colour',
  'cure',
  'dirt',
  'lifting',
  'other',
] as const;
export type Reason = (typeof reasons)[number];
export const grades = ['hero', 'background', 'reject'] as const;
export type Grade = (typeof grades)[number];

/** One piece as it was cast and weighed. */
export interface Cast {
  plate: string | null;
  number: number | null;
  name: string;
  massG: number;
  /** What the plan foretold; `null` where there was none. */
  predictedG: number | null;
  rangeG: number[] | null;
  grade: Grade;
  reason?: Reason | undefined;
}

/** One batch, from the cup to the pieces. */
export interface Run {
  way: 'straight' | 'encapsulated';
  material: string;
  densityGPerMl: number;
  weighed: { part: string; massG: number }[];
  /** Mix that was left over and weighed: neither on the pieces nor lost. */
  leftG: number;
  /** Land that the scraper passed over, all fills of the batch. */
  sweptMm2: number;
  /** Pieces that the batch filled; fewer casts than these, and its losses cannot be told. */
  pieces: number;
  casts: Cast[];
  note?: string | undefined;
}

/** A line of the log. A correction stands for the run of another line, or withdraws it (`null`). */
export type LogEntry = { entry: number; at: string } & (
  | { kind: 'run'; run: Run }
  | { kind: 'correction'; of: number; run: Run | null }
);

const amount = number(0, 1e6);

const cast = record(
  {
    plate: orNull(text),
    number: orNull(count(1)),
    name: text,
    massG: amount,
    predictedG: orNull(positive),
    rangeG: orNull(vector(2, amount)),
    grade: oneOf(...grades),
  },
  { reason: oneOf(...reasons) },
);

export const runReader: Reader<Run> = (value, place) => {
  const run = record(
    {
      way: oneOf('straight', 'encapsulated'),
      material: text,
      densityGPerMl: number(0.5, 3),
      weighed: list(record({ part: text, massG: amount })),
      leftG: amount,
      sweptMm2: number(0, 1e9),
      pieces: count(),
      casts: list(cast),
    },
    { note: text },
  )(value, place);
  run.casts.forEach(({ grade, reason }, i) => {
    const at = place.at('casts').at(i);
    if (grade === 'reject' && reason === undefined) {
      throw at.fault('reason-missing', 'A reject has no reason.', `Add one of: ${reasons.join(', ')}.`);
    }
  });
  return run;
};

/** A line's content, without the number and the time that the log gives it. */
export type NewEntry = { kind: 'run'; run: Run } | { kind: 'correction'; of: number; run: Run | null };

export const newEntryReader: Reader<NewEntry> = (value, place) => {
  const { kind } = record({ kind: oneOf('run', 'correction') }, {}, { open: true })(value, place);
  if (kind === 'run') return record({ kind: oneOf('run'), run: runReader })(value, place);
  return record({ kind: oneOf('correction'), of: count(1), run: orNull(runReader) })(value, place);
};

const numbered = record({ entry: count(1), at: text }, {}, { open: true });

/** One line of a log. @throws Fault `log-…` */
export function readEntry(line: string): LogEntry {
  const place = new Place('log');
  const value: unknown = JSON.parse(line);
  const { entry, at } = numbered(value, place);
  const { entry: _, at: __, ...content } = value as Record<string, unknown>;
  return { entry, at, ...newEntryReader(content, place) };
}

export interface DamagedLine {
  readonly line: number;
  readonly text: string;
}

export interface Log {
  readonly entries: readonly LogEntry[];
  /** Lines that cannot be read: set aside, never fatal. */
  readonly damaged: readonly DamagedLine[];
}

/**
 * Reads a log, JSON Lines. A line without its end was being written when the power went: it counts as damaged.
 */
export function readLog(content: string): Log {
  const entries: LogEntry[] = [];
  const damaged: DamagedLine[] = [];
  const lines = content.split('\n');
  lines.forEach((line, i) => {
    const last = i === lines.length - 1;
    if (last && line === '') return;
    try {
      if (last) throw new SyntaxError('no line end');
      entries.push(readEntry(line));
    } catch {
      damaged.push({ line: i + 1, text: line });
    }
  });
  return { entries, damaged };
}

/** The runs that count, each with its entry number: corrections have taken their place, withdrawn ones are gone. */
export function runsOf({ entries }: Log): { entry: number; at: string; run: Run }[] {
  const runs = new Map<number, { entry: number; at: string; run: Run | null }>();
  for (const entry of entries) {
    if (entry.kind === 'run') runs.set(entry.entry, { entry: entry.entry, at: entry.at, run: entry.run });
    else if (runs.has(entry.of)) runs.set(entry.of, { ...runs.get(entry.of)!, run: entry.run });
  }
  return [...runs.values()].flatMap((one) => (one.run === null ? [] : [{ ...one, run: one.run }]));
}
