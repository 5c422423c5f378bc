import { plainText } from '../base/plain-text.js';
import type { Rescue } from '../fill/bench/rescue.js';
import { type Retarget, tolerancePct as usualTolerancePct } from '../fill/bench/retarget.js';
import { type Display, displayUnits } from './display-units.js';
import { fixed } from './figures.js';
import { table, wrap } from './table.js';

export interface BenchTextOptions {
  readonly width?: number;
  readonly display?: Display;
  /** The scale is not tared between the parts. */
  readonly running?: boolean;
  readonly tolerancePct?: number;
  readonly rescueUntilPct?: number;
}

/** What is said beside the parts to weigh. */
interface AtScale {
  readonly cautions?: readonly string[];
}

/** One paragraph a sentence, then the cautions. */
function saying(lines: string[], sentences: readonly string[], { cautions = [] }: AtScale, width: number): string {
  for (const text of sentences) lines.push('', ...wrap(text, width));
  if (cautions.length > 0) lines.push('', 'Cautions', ...cautions.flatMap((text) => wrap(`- ${text}`, width, 2)));
  return `${lines.join('\n')}\n`;
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
      { head: ['part'], least: 10 },
      { head: ['in the cup', units.massUnit], align: 'right' },
      { head: ['still to add', units.massUnit], align: 'right' },
      { head: [running ? 'until the scale shows' : 'tared, it shows', units.massUnit], align: 'right' },
    ],
    rows,
    { width, foot: [['all', units.mass(result.totalG), '', '']] },
  );
}

/** What to weigh next, after some parts were weighed. */
export function weighText(
  result: Retarget & AtScale & { cupMl?: number | undefined; fits?: boolean | undefined },
  options: BenchTextOptions = {},
): string {
  const { width = 80, display = 'metric', tolerancePct = usualTolerancePct } = options;
  const done = result.targets.every(({ addG }) => addG === 0);
  const off = `${fixed(result.offPct, 1)} % off the ratio`;
  const all = `${displayUnits[display].mass(result.totalG)} ${displayUnits[display].massUnit}`;
  const sentences = [
    done
      ? result.offPct < tolerancePct
        ? `All parts are in, ${off}: under ${tolerancePct} % (common practice, no source), carry on.`
        : `All parts are in, ${off}: the scale's step is too coarse to mend that. Weigh on a finer one.`
      : 'Weigh what is still to add; the parts follow what is in the cup.',
    ...(result.fits === false ? [`${all} are too much for the ${result.cupMl} ml cup: take a larger one.`] : []),
  ];
  return saying(targetTable(result, options), sentences, result, width);
}

/** How to bring a cup back into its ratio. */
export function rescueText(
  result: Rescue & AtScale & { potLifeKnown?: boolean },
  options: BenchTextOptions = {},
): string {
  const { width = 80, display = 'metric', tolerancePct = usualTolerancePct, rescueUntilPct = 50 } = options;
  const units = displayUnits[display];
  const until = `${rescueUntilPct === 50 ? 'half' : `${rescueUntilPct} % of`} the pot life`;
  const near = result.offPct < tolerancePct;
  const more = `${units.mass(result.moreG)} ${units.massUnit} more than now`;
  const holds = `the cup holds ${units.mass(result.totalG)} ${units.massUnit} (${fixed(result.volumeMl, 0)} ml)`;
  const sentences: string[] = [];
  if (result.tooLate) {
    sentences.push(`Too late: over ${until} is gone (common practice, no source). Throw it away and mix anew.`);
  }
  if (near) {
    const under = `under ${tolerancePct} % (common practice, no source)`;
    sentences.push(`It is ${fixed(result.offPct, 1)} % off its ratio, ${under}: carry on without adding.`);
  } else sentences.push(`Then ${holds}, ${more}.`);
  if (result.fits === false) {
    sentences.push(
      near
        ? 'The cup is too full to stir: take a larger one.'
        : 'That does not fit: pour it into a larger cup before you add.',
    );
  }
  if (result.fits === undefined && !near) sentences.push('Give the cup with --cup ML to see whether it still fits.');
  if (result.tooLate === undefined) {
    sentences.push(
      result.potLifeKnown === false
        ? `The pot life is not known: not after half of it (common practice, no source).`
        : `Give --minutes since A met B: not after ${until} (common practice, no source).`,
    );
  }
  return saying(targetTable(result, options), sentences, result, width);
}
