import { InvalidArgumentError } from 'commander';
import { Fault } from '../src/base/fault.js';
import { type GivenAssumptions, readAssumptions } from '../src/fill/assumptions.js';
import { Place } from '../src/fill/shape.js';

/** Parsers of option values; each refuses what it cannot read with a sentence that says what to write. */

export function amount(min: number, max: number, unit: string): (text: string) => number {
  return (text) => {
    const value = Number(text.trim() === '' ? Number.NaN : text);
    if (Number.isFinite(value) && value >= min && value <= max) return value;
    throw new InvalidArgumentError(`Write a number from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}.`);
  };
}

export function wholeNumber(min: number, max: number): (text: string) => number {
  return (text) => {
    const value = Number(text.trim() === '' ? Number.NaN : text);
    if (Number.isInteger(value) && value >= min && value <= max) return value;
    throw new InvalidArgumentError(`Write a whole number from ${min} to ${max}.`);
  };
}

/** `10:1`, as two numbers above 0. */
export function ratio(text: string): [number, number] {
  const parts = text.split(':').map((part) => (part.trim() === '' ? Number.NaN : Number(part)));
  const [a, b] = parts;
  const good = (value: number | undefined): value is number =>
    value !== undefined && Number.isFinite(value) && value > 0 && value <= 1e6;
  if (parts.length === 2 && good(a) && good(b)) return [a, b];
  throw new InvalidArgumentError('Write parts of A to parts of B, both above 0: 10:1.');
}

/** `a=1,b=2` as pairs; a name may hold a comma: `A, tinted=18.6,B=1.7`. */
export function pairsOf(text: string): string[] {
  const pairs: string[] = [];
  let open = '';
  for (const piece of text.split(',')) {
    open += open === '' ? piece : `,${piece}`;
    if (!piece.includes('=')) continue;
    pairs.push(open);
    open = '';
  }
  return open === '' ? pairs : [...pairs, open];
}

/** `brow-l=3.4,chin=7.1`; a name may stand once. */
export function namedNumbers(what: string, whole: boolean): (text: string) => { name: string; value: number }[] {
  // No day casts more pieces, and a plan of a million would be reckoned for hours.
  const most = whole ? 10_000 : 1_000_000;
  return (text) => {
    const pairs = pairsOf(text).map((pair) => {
      const at = pair.lastIndexOf('=');
      const name = pair.slice(0, Math.max(0, at)).trim();
      const value = Number(pair.slice(at + 1).trim() || Number.NaN);
      if (name !== '' && value > 0 && value <= most && (!whole || Number.isInteger(value))) return { name, value };
      throw new InvalidArgumentError(
        `Write NAME=${what} pairs with commas between them, each above 0 and at most ${most}.`,
      );
    });
    const twice = pairs.find(({ name }, index) => pairs.findIndex((pair) => pair.name === name) < index);
    if (twice !== undefined) throw new InvalidArgumentError(`'${twice.name}' stands there twice.`);
    return pairs;
  };
}

/** `3,7` or `brow-l,chin`. */
export function words(text: string): string[] {
  const list = text
    .split(',')
    .map((word) => word.trim())
    .filter((word) => word !== '');
  if (list.length > 0) return list;
  throw new InvalidArgumentError('Write at least one, with commas between them.');
}

/** `100,500`: sizes of the cups at hand. */
export function cups(text: string): number[] {
  return words(text).map(amount(5, 50_000, 'ml'));
}

/** `scrape-film=0.15 mm,mixing=4 min`: figures in place of those that are assumed. */
export function assumptions(text: string): GivenAssumptions {
  const pairs = words(text).map((pair) => {
    const [name, figure, ...more] = pair.split('=').map((part) => part.trim());
    if (!name || !figure || more.length > 0) {
      throw new InvalidArgumentError('Write NAME=FIGURE pairs with commas between them: scrape-film=0.15 mm.');
    }
    return [name, /^[\d.]+$/.test(figure) ? Number(figure) : figure] as const;
  });
  const twice = pairs.find(([name], i) => pairs.findIndex(([other]) => other === name) < i);
  if (twice !== undefined) throw new InvalidArgumentError(`'${twice[0]}' stands there twice.`);
  try {
    return readAssumptions(Object.fromEntries(pairs), new Place('assume'));
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    throw new InvalidArgumentError(`${error.where}: ${error.message} ${error.remedy}`);
  }
}

export const assumeOption = [
  '--assume <NAME=FIGURE,…>',
  'your own figures in place of assumed ones, named as the plan lists them',
  assumptions,
] as const;
