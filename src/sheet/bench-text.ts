import { plainText } from '../base/plain-text.js';
import type { Rescue } from '../fill/bench/rescue.js';
import { type Retarget, tolerancePct } from '../fill/bench/retarget.js';
import { type Display, displayUnits } from './display-units.js';
import { fixed } from './figures.js';
import { table, wrap } from './table.js';

export interface BenchTextOptions {
  readonly width?: number;
  readonly display?: Display;
  /** The scale is not tared between the parts. */
  readonly running?: boolean;
}

function targetTable(
  result: Retarget,
  { width = 80, display = 'metric', running = false }: BenchTextOptions,
): string[] {
  const units = displayUnits[display];
  let shows = result.targets.reduce((sum, { inCupG }) => sum + inCupG, 0);
  const rows = result.targets.map(({ part, inCupG, addG }) => {
    shows += addG;
    const next = addG === 0 ? 'done' : units.mass(addG);
    return [plainText(part), units.mass(inCupG), next, addG === 0 ? '' : units.mass(running ? shows : addG)];
  });
  return table(
    [
      { head: ['part'] },
      { head: ['in the cup', units.massUnit], align: 'right' },
      { head: ['still to add', units.massUnit], align: 'right' },
      { head: [running ? 'until the scale shows' : 'tared, it shows', units.massUnit], align: 'right' },
    ],
    rows,
    { width, foot: [['all', units.mass(result.totalG), '', '']] },
  );
}

/** What to weigh next, after some parts were weighed. */
export function weighText(result: Retarget, options: BenchTextOptions = {}): string {
  const { width = 80 } = options;
  const done = result.targets.every(({ addG }) => addG === 0);
  const off = `${fixed(result.offPct, 1)} % off the ratio`;
  const say = done
    ? `All parts are in, ${off}: under ${tolerancePct} % (common practice, no source), carry on.`
    : 'Weigh what is still to add; the parts follow what is in the cup.';
  return `${[...targetTable(result, options), '', ...wrap(say, width)].join('\n')}\n`;
}

/** How to bring a cup back into its ratio. */
export function rescueText(result: Rescue, options: BenchTextOptions = {}): string {
  const { width = 80, display = 'metric' } = options;
  const units = displayUnits[display];
  const lines = targetTable(result, options);
  const say = (text: string) => lines.push('', ...wrap(text, width));
  if (result.tooLate) {
    say('Too late: over half the pot life is gone (common practice, no source). Throw it away and mix anew.');
  }
  if (result.offPct < tolerancePct)
    say(`It is only ${fixed(result.offPct, 1)} % off its ratio: carry on without adding.`);
  const more = `${units.mass(result.moreG)} ${units.massUnit} more than now`;
  say(`Then the cup holds ${units.mass(result.totalG)} ${units.massUnit} (${fixed(result.volumeMl, 0)} ml), ${more}.`);
  if (result.fits === false) say('That does not fit: pour it into a larger cup before you add.');
  if (result.fits === undefined) say('Give the cup with --cup ML to see whether it still fits.');
  if (result.tooLate === undefined) say('Give --minutes since A met B: not after half the pot life (common practice).');
  return `${lines.join('\n')}\n`;
}
