import { InvalidArgumentError } from 'commander';
import { suggestName } from '../src/base/closest-name.js';
import { Fault } from '../src/base/fault.js';
import { pairsOf } from './option-values.js';

export interface Reading {
  readonly part: string;
  readonly shownG: number;
}

/** `A=27.6,B=28`, in the order of weighing; a part may come again. */
export function readings(text: string): Reading[] {
  return pairsOf(text).map((pair) => {
    const at = pair.lastIndexOf('=');
    const part = pair.slice(0, Math.max(0, at)).trim();
    const shownG = Number(pair.slice(at + 1).trim() || Number.NaN);
    if (part !== '' && shownG >= 0 && shownG <= 1e6) return { part, shownG };
    throw new InvalidArgumentError('Write PART=GRAMS pairs with commas between them: A=27.6,B=28.');
  });
}

/** Every named part must be one of the mix. @throws Fault `part-unknown`, `reading-falls` */
export function checkReadings(given: readonly Reading[], parts: readonly string[], running: boolean): void {
  given.forEach(({ part, shownG }, i) => {
    if (!parts.includes(part)) {
      const message = `The mix has no part '${part}'.`;
      throw new Fault({ code: 'part-unknown', kind: 'usage', message, remedy: suggestName(part, parts) });
    }
    if (running && i > 0 && shownG < given[i - 1]!.shownG) {
      const message = `The scale shows less after '${part}' than before it.`;
      const remedy = 'Give what the scale showed after each part, or leave --running out where you tared.';
      throw new Fault({ code: 'reading-falls', kind: 'usage', message, remedy });
    }
  });
}
