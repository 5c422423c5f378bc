import type { PlanDocument } from '../fill/plan/plan-document.js';
import { csvText } from './csv.js';
import { mixCsv } from './mix-csv.js';

/** Who needs what, a row a want. */
export function wantsCsv(pieces: PlanDocument['pieces']): string {
  return csvText(
    ['piece', 'count', 'spares', 'rejects', 'toCast', 'by', 'lastDay', 'castOn', 'met'],
    pieces.map(({ piece, count, spares, rejects, toCast, by, lastDay, castOn, met }) => [
      piece,
      count,
      spares,
      rejects,
      toCast,
      by,
      lastDay,
      castOn,
      met ? 'yes' : 'no',
    ]),
  );
}

/**
 * The plan as CSV tables one under the other, a blank line between them: wants, days, stock, and the mix with its
 * findings and cautions.
 */
export function planCsv(plan: PlanDocument): string {
  const wants = wantsCsv(plan.pieces);
  const days = csvText(
    ['date', 'at', 'what'],
    plan.days.flatMap(({ date, timetable }) => timetable.map(({ at, what }) => [date, at, what])),
  );
  const stock = csvText(
    ['material', 'useG', 'onShelfG', 'buyG', 'orderBy', 'leftG'],
    plan.money.materials.map(({ what, useG, onShelfG, buy, buyBy, leftG }) => [
      what,
      useG,
      onShelfG,
      buy.reduce((sum, { holdsG, count }) => sum + holdsG * count, 0),
      buyBy,
      leftG,
    ]),
  );
  return [wants, days, stock, mixCsv({ ...plan.mix, findings: plan.findings })].join('\r\n');
}
