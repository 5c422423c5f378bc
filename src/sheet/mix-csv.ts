import type { MixDocument } from '../fill/mix-document.js';
import { csvText } from './csv.js';
import { barrierFacts, vapourFacts } from './spray-text.js';

type Cell = string | number | null;

const columns = [
  'record',
  'session',
  'batch',
  'plate',
  'number',
  'name',
  'volumeMl',
  'massG',
  'lowestG',
  'highestG',
  'text',
];

function row(record: string, cells: Partial<Record<string, Cell>>): Cell[] {
  return columns.map((column) => {
    const cell = column === 'record' ? record : (cells[column] ?? null);
    return typeof cell === 'number' ? Number(cell.toFixed(6)) : cell;
  });
}

function facts(record: string, list: readonly (readonly [string, string])[]): Cell[][] {
  return list.map(([name, text]) => row(record, { name, text }));
}

/** The mix as one table: a row for each piece, weighed part, allowance, finding and caution. Plates count from 1. */
export function mixCsv(document: MixDocument): string {
  const rows = [
    ...document.perCavity.map(({ plate, number, name, volumeMl, massG, massRangeG }) =>
      row('piece', {
        plate: plate + 1,
        number,
        name,
        volumeMl,
        massG,
        lowestG: massRangeG[0],
        highestG: massRangeG[1],
      }),
    ),
    ...document.allowances.map(({ what, massG, from }) => row('allowance', { name: what, massG, text: from })),
    ...document.masters.flatMap(({ name, recipe }) =>
      recipe.map(({ part, massG }) => row('master', { name: part, massG, text: name })),
    ),
    ...document.batches.flatMap(({ material, session, order }, index) =>
      order.map(({ part, massG }) =>
        row('part', {
          session: session + 1,
          batch: index + 1,
          name: part,
          massG,
          text: document.materials[material]!.name,
        }),
      ),
    ),
    ...facts('barrier', document.barrier === null ? [] : barrierFacts(document.barrier)),
    ...facts('vapour', document.vapour === null ? [] : vapourFacts(document.vapour)),
    ...document.findings.map(({ severity, code, message, plate, cavity }) =>
      row(severity, {
        plate: plate === undefined ? null : plate + 1,
        number: cavity ?? null,
        name: code,
        text: message,
      }),
    ),
    ...document.cautions.map((text) => row('warning', { text })),
  ];
  return csvText(columns, rows);
}
