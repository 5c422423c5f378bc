import { plainText } from '../base/plain-text.js';
import { type CheckedCast, meaning } from '../fill/log/check.js';
import type { Run } from '../fill/log/entry.js';
import type { Lesson, Lessons } from '../fill/log/learn.js';
import { fixed, noFigure } from './figures.js';
import { grams } from './grams.js';
import { table, wrap } from './table.js';

interface Options {
  readonly width?: number;
}

const sumG = (list: readonly { massG: number }[]): number => list.reduce((sum, { massG }) => sum + massG, 0);

/** Each piece against its prediction. */
export function checkText(checked: readonly CheckedCast[], { width = 80 }: Options = {}): string {
  if (checked.length === 0) return 'The log holds no cast pieces yet.\n';
  const lines = table(
    [
      { head: ['run'], align: 'right' },
      { head: ['piece'], least: 8 },
      { head: ['cast', 'g'], align: 'right' },
      { head: ['planned', 'g'], align: 'right' },
      { head: ['off', '%'], align: 'right' },
      { head: ['grade'] },
      { head: ['perhaps'], least: 12 },
    ],
    checked.map(({ entry, cast, differencePct, verdict }) => [
      String(entry),
      plainText(cast.name),
      grams(cast.massG),
      grams(cast.predictedG),
      differencePct === null ? noFigure : fixed(differencePct, 1),
      cast.reason === undefined ? cast.grade : `${cast.grade}: ${cast.reason}`,
      verdict === 'short' || verdict === 'heavy' ? `${verdict}: ${meaning[verdict]}` : '',
    ]),
    { width },
  );
  return `${lines.join('\n')}\n`;
}

function lessonLines(
  { way, runs, outliers, incomplete, cupLossG, beyond, beyondUnit }: Lesson,
  width: number,
): string[] {
  const what = beyondUnit === 'mm' ? 'film left on the land' : 'massage, glove and spatula, of the pieces';
  const decimals = beyondUnit === 'mm' ? 3 : 1;
  const text = (entries: readonly number[], say: string) =>
    entries.length === 0 ? [] : wrap(`Run ${entries.join(', ')}: ${say}`, width);
  return [
    `${way}, from ${runs} ${runs === 1 ? 'run' : 'runs'}`,
    ...table(
      [
        { head: ['lost'], least: 12 },
        { head: ['figure'], align: 'right' },
        { head: ['range, 98 %'], align: 'right' },
        { head: [''] },
      ],
      [
        [
          'cup and stick, a batch',
          fixed(cupLossG.value, 1),
          `${fixed(cupLossG.low, 1)} to ${fixed(cupLossG.high, 1)}`,
          'g',
        ],
        [
          what,
          fixed(beyond.value, decimals),
          `${fixed(beyond.low, decimals)} to ${fixed(beyond.high, decimals)}`,
          beyondUnit,
        ],
      ],
      { width },
    ),
    ...text(outliers, 'left out, the masses do not fit the others. Look at what was written.'),
    ...text(incomplete, 'left out, not every piece of the batch was weighed.'),
  ];
}

/** What the runs teach about the losses. */
export function learnText({ lessons, notYet }: Lessons, { width = 80 }: Options = {}): string {
  const blocks = [
    ...lessons.map((lesson) => lessonLines(lesson, width)),
    ...notYet.map(({ way, runs, why }) =>
      wrap(`${way}, ${runs} ${runs === 1 ? 'run' : 'runs'}: nothing to learn yet, ${why}.`, width),
    ),
  ];
  if (blocks.length === 0) return 'The log holds no runs yet.\n';
  return `${blocks.map((block) => block.join('\n')).join('\n\n')}\n`;
}

/** The runs of a log, one a line. */
export function runsText(
  runs: readonly { entry: number; at: string; run: Run }[],
  { width = 80 }: Options = {},
): string {
  if (runs.length === 0) return 'The log holds no runs yet.\n';
  const lines = table(
    [
      { head: ['run'], align: 'right' },
      { head: ['when (UTC)'] },
      { head: ['material'], least: 8 },
      { head: ['mixed', 'g'], align: 'right' },
      { head: ['left', 'g'], align: 'right' },
      { head: ['pieces', 'g'], align: 'right' },
      { head: ['cast'], align: 'right' },
      { head: ['rejects'], align: 'right' },
    ],
    runs.map(({ entry, at, run }) => [
      String(entry),
      plainText(at.slice(0, 16).replace('T', ' ')),
      plainText(run.material),
      grams(sumG(run.weighed)),
      grams(run.leftG),
      grams(sumG(run.casts)),
      `${run.casts.length} of ${run.pieces}`,
      String(run.casts.filter(({ grade }) => grade === 'reject').length),
    ]),
    { width },
  );
  return `${lines.join('\n')}\n`;
}
