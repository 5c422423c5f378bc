import { bySeverity, type Finding } from '../base/finding.js';
import { plainText } from '../base/plain-text.js';
import type { Paint } from './paint.js';
import { labelled } from './table.js';

interface Entry {
  readonly finding: Finding;
  readonly cavities: number[];
  /** What is said of the cavity: the message without the number it may begin with. */
  readonly rest: string;
  /** The rest names the cavities by itself. */
  readonly saysWhich?: boolean;
}

/** Findings that say the same of several cavities are one entry. */
function grouped(findings: readonly Finding[]): Entry[] {
  const entries = new Map<string, Entry>();
  for (const finding of bySeverity(findings)) {
    const { severity, code, cavity, message } = finding;
    const rest = cavity === undefined ? message : message.replace(new RegExp(`^Cavity ${cavity}(?::\\s*|(?= ))`), '');
    // "Cavity 3 is open": the sentence is about one, and stays so.
    const alone = rest.startsWith(' ') ? cavity : undefined;
    const key = JSON.stringify([severity, code, rest, alone]);
    const entry = entries.get(key) ?? { finding, cavities: [], rest };
    if (cavity !== undefined && !entry.cavities.includes(cavity)) entry.cavities.push(cavity);
    entries.set(key, entry);
  }
  return [...entries.values()];
}

/**
 * Where to start lifting is said of every cavity, in one sentence each. From three on they are one sentence with a list
 * of places, in the place of the first.
 */
function withLiftsFolded(entries: readonly Entry[]): Entry[] {
  const lifts = entries.filter(({ finding }) => finding.code === 'lift-start' && finding.atMm !== undefined);
  const [first] = lifts;
  if (first === undefined || lifts.length < 3) return [...entries];
  const places = lifts.map(({ finding: { atMm }, cavities }) => {
    return `${cavities[0]} at ${atMm![0].toFixed(0)}, ${atMm![1].toFixed(0)}`;
  });
  const byBarrier = first.rest.includes('barrier');
  const rest = byBarrier
    ? "Start lifting by the barrier's margin where the piece is held least, never by the silicone's edge"
    : 'Start lifting where the edge is strongest and least held';
  const folded = {
    finding: first.finding,
    cavities: lifts.flatMap(({ cavities }) => cavities),
    rest: `${rest}: cavity ${places.join('; ')} (x, y in mm).`,
    saysWhich: true,
  };
  return entries.flatMap((entry) => (entry === first ? [folded] : lifts.includes(entry) ? [] : [entry]));
}

function list(numbers: readonly number[]): string {
  return numbers.length < 2 ? numbers.join('') : `${numbers.slice(0, -1).join(', ')} and ${numbers.at(-1)}`;
}

/** A finding as a sentence, with the cavities it is about; several that say the same are one. */
export interface Sentence {
  readonly finding: Finding;
  readonly cavities: readonly number[];
  /** Which cavities and what it is; plain text. */
  readonly text: string;
}

/**
 * Findings as sentences: what stops first, then cautions, then notes.
 * @param nameOf a cavity's name by its number, where it has one
 */
export function findingSentences(
  findings: readonly Finding[],
  nameOf?: (cavity: number) => string | undefined,
): Sentence[] {
  return withLiftsFolded(grouped(findings)).map(({ finding, cavities, rest, saysWhich }) => {
    const given = cavities.length === 1 ? nameOf?.(cavities[0]!) : undefined;
    const name = given === `cavity-${cavities[0]}` ? undefined : given;
    const number = `${cavities.length === 1 ? 'Cavity' : 'Cavities'} ${list(cavities)}`;
    const named = `${number}${name ? ` (${plainText(name)})` : ''}`;
    const who = cavities.length === 0 || saysWhich ? '' : rest.startsWith(' ') ? named : `${named}: `;
    return { finding, cavities, text: `${who}${plainText(rest)}` };
  });
}

/** Findings as lines, each with its code, which `--despite` takes. */
export function findingLines(
  findings: readonly Finding[],
  { width, paint, nameOf }: { width: number; paint: Paint; nameOf?: (cavity: number) => string | undefined },
): string[] {
  return findingSentences(findings, nameOf).flatMap(({ finding, text }) => {
    const [first = '', ...more] = labelled(finding.severity, `${text} [${finding.code}]`, width);
    return [paint[finding.severity](finding.severity) + first.slice(finding.severity.length), ...more];
  });
}
