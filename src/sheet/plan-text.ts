import { plainText } from '../base/plain-text.js';
import type { MaterialNeed, PlanDocument } from '../fill/plan/plan-document.js';
import { type Display, displayUnits } from './display-units.js';
import { fixed, noFigure } from './figures.js';
import { materialLines, mixBlocks, section, times } from './mix-text.js';
import { noPaint, type Paint } from './paint.js';
import { labelled, table } from './table.js';

export interface PlanTextOptions {
  readonly width?: number;
  readonly paint?: Paint;
  readonly display?: Display;
}

/** The plan of a whole job as a person reads it. */
export function planText(plan: PlanDocument, options: PlanTextOptions = {}): string {
  const { width = 80, paint = noPaint, display = 'metric' } = options;
  const units = displayUnits[display];
  const style = { width, paint, units, display };
  const mix = { ...plan.mix, findings: plan.findings };
  const blocks = [
    section('Who needs what', needTable(plan, width), style),
    section('Plates', plateTable(plan, width), style),
    ...plan.days.map((day) => section(`Day ${day.date}`, dayLines(plan, day, width), style)),
    plan.mix.materials.flatMap((material) => materialLines(material, width)),
    section('Money and stock', stockTable(plan, units, width), style),
    ...mixBlocks(mix, style),
  ];
  return `${blocks
    .filter((block) => block.length > 0)
    .map((block) => block.join('\n'))
    .join('\n\n')}\n`;
}

/** What the log of a job shows short of its wants. */
export function shortText(short: readonly { piece: string; have: number; want: number }[], width = 80): string {
  const list = short.map(({ piece, have, want }) => `${plainText(piece)} ${have} of ${want}`).join(', ');
  return `${labelled('Short', `${list}, by the log. The plan below is for the rest.`, width).join('\n')}\n\n`;
}

const right = 'right' as const;

function needTable({ pieces, leftOver }: PlanDocument, width: number): string[] {
  const rows = pieces.map(({ piece, count, spares, rejects, toCast, by, lastDay, castOn, met }) => [
    plainText(piece),
    String(count),
    String(spares),
    String(rejects),
    String(toCast),
    by ?? noFigure,
    lastDay ?? noFigure,
    `${castOn === '' ? 'never' : castOn}${met ? '' : ' LATE'}`,
  ]);
  const over = leftOver.map(({ piece, count }) => `${count} ${plainText(piece)}`).join(', ');
  return [
    ...table(
      [
        { head: ['piece'], least: 8 },
        { head: ['want'], align: right },
        { head: ['spare'], align: right },
        { head: ['reject'], align: right },
        { head: ['cast'], align: right },
        { head: ['by'] },
        { head: ['last day', 'to cast'] },
        { head: ['cast on'] },
      ],
      rows,
      { width },
    ),
    ...(over === '' ? [] : labelled('left over', `${over} (spares, where no more are rejected)`, width, 11)),
  ];
}

function plateTable({ plates }: PlanDocument, width: number): string[] {
  return table(
    [
      { head: ['plate'], align: right },
      { head: ['file'], least: 12 },
      { head: ['copies'], align: right },
      { head: ['needed'], align: right },
      { head: ['fills'], align: right },
      { head: ['first pulls', '(scrap)'], align: right },
    ],
    plates.map(({ file, copies, copiesNeeded, fills, scrapFills }, i) => [
      String(i + 1),
      file === null ? 'pieces weighed once' : plainText(file),
      String(copies),
      copiesNeeded === null ? noFigure : String(copiesNeeded),
      String(fills),
      String(scrapFills),
    ]),
    { width },
  );
}

function dayLines(
  { plates }: PlanDocument,
  { sessions, timetable }: PlanDocument['days'][number],
  width: number,
): string[] {
  const fills = sessions.flatMap(({ turn, fills: own, scrapFills }) =>
    labelled(
      `turn ${turn}`,
      own
        .map(({ plate, count, cavities }) => {
          const which = plates.length > 1 ? ` of plate ${plate + 1}` : '';
          return `${times(count, 'fill')}${which}, cavities ${cavities.join(' ')}`;
        })
        .join('; ') + (scrapFills === 0 ? '' : ` (${times(scrapFills, 'first pull')}: scrap)`),
      width,
    ),
  );
  return [...fills, ...timetable.flatMap(({ at, what }) => labelled(at, what, width, 12))];
}

function stockTable({ money }: PlanDocument, units: (typeof displayUnits)[Display], width: number): string[] {
  const mass = (massG: number | null) => (massG === null ? noFigure : units.mass(massG));
  const packs = ({ buy }: MaterialNeed) =>
    buy.map(({ count, holdsG }) => `${count} x ${units.mass(holdsG)}`).join(' + ');
  const cost = (value: number) => `${fixed(value, 2)} ${money.currency}`.trim();
  const without = money.unpriced.length === 0 ? '' : `; without ${money.unpriced.map(plainText).join(', ')} (no price)`;
  return [
    ...table(
      [
        { head: ['material'], least: 10 },
        { head: ['uses', units.massUnit], align: right },
        { head: ['on shelf', units.massUnit], align: right },
        { head: ['buy packs', units.massUnit] },
        { head: ['order by'] },
        { head: ['left', units.massUnit], align: right },
      ],
      money.materials.map((need) => [
        plainText(need.what),
        mass(need.useG),
        mass(need.onShelfG),
        packs(need),
        need.buyBy ?? '',
        mass(need.leftG),
      ]),
      { width },
    ),
    ...labelled('cost', `used ${cost(money.usedCost)}; to buy ${cost(money.buyCost)}${without}`, width),
  ];
}
