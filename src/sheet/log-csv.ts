import type { CheckedCast } from '../fill/log/check.js';
import type { Run } from '../fill/log/entry.js';
import { csvText } from './csv.js';

const rounded = (value: number): number => Number(value.toFixed(6));
const sumG = (list: readonly { massG: number }[]): number => rounded(list.reduce((sum, { massG }) => sum + massG, 0));

/** Each piece against its prediction, a row a piece. */
export function checkCsv(checked: readonly CheckedCast[]): string {
  return csvText(
    ['run', 'plate', 'number', 'piece', 'castG', 'plannedG', 'differencePct', 'grade', 'reason', 'verdict'],
    checked.map(({ entry, cast, differencePct, verdict }) => [
      entry,
      cast.plate,
      cast.number,
      cast.name,
      cast.massG,
      cast.predictedG === null ? null : rounded(cast.predictedG),
      differencePct === null ? null : Number(differencePct.toFixed(2)),
      cast.grade,
      cast.reason,
      verdict,
    ]),
  );
}

/** The runs of a log, a row a run. */
export function runsCsv(runs: readonly { entry: number; at: string; run: Run }[]): string {
  return csvText(
    ['run', 'at', 'way', 'material', 'mixedG', 'leftG', 'piecesG', 'sweptMm2', 'pieces', 'cast', 'rejects', 'note'],
    runs.map(({ entry, at, run }) => [
      entry,
      at,
      run.way,
      run.material,
      sumG(run.weighed),
      run.leftG,
      sumG(run.casts),
      rounded(run.sweptMm2),
      run.pieces,
      run.casts.length,
      run.casts.filter(({ grade }) => grade === 'reject').length,
      run.note,
    ]),
  );
}
