import type { AssumptionEntry } from '../fill/assumptions.js';

/** The figures of common practice that a plan used, on one line: `scrape-film 0.2 mm, mixing 4 min (yours)`. */
export function assumedWords(assumptions: readonly AssumptionEntry[]): string {
  return assumptions
    .map(({ name, value, unit, from }) => `${name} ${value} ${unit}`.trim() + (from === 'option' ? ' (yours)' : ''))
    .join(', ');
}
