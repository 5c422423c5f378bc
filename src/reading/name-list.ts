import { editDistance } from '../base/closest-name.js';
import type { Finding } from '../base/finding.js';
import { type CsvRow, csvRows } from './csv.js';
import { checkedName, fault, quoted, realNumber, sidedName } from './name-cells.js';

/** One line of a list of names. What the list does not say is undefined. */
export interface NameEntry {
  /** Line of the file, from 1. */
  readonly line: number;
  /** Empty: the cavity has no name. */
  readonly name: string;
  /** Number of the cavity when the list was written. */
  readonly number?: number;
  /** Middle of the opening in the plate frame, mm. */
  readonly centreMm?: readonly [number, number];
  readonly volumeMm3?: number;
  readonly openingAreaMm2?: number;
  readonly depthMm?: number;
  /** Seven numbers that `fillShape` makes: the spread of the fill in plan, mm. */
  readonly shapeMm?: readonly number[];
  /** Beginning of the SHA-256 of the mesh file that the line was written from. */
  readonly file?: string;
}

/** A person's list of names. By `place` every entry has its `centreMm`, by `number` its `number`. */
export interface NameList {
  readonly by: 'number' | 'place';
  readonly entries: readonly NameEntry[];
  readonly findings: readonly Finding[];
}

const mostNames = 5000;
const shapeNumbers = 7;

const columns = {
  name: ['name'],
  side: ['side'],
  x: ['x', 'xmm', 'centrexmm'],
  y: ['y', 'ymm', 'centreymm'],
  number: ['number', 'no'],
  volumeMm3: ['volumemm3'],
  openingAreaMm2: ['openingareamm2'],
  depthMm: ['depthmm'],
  shapeMm: ['shapemm'],
  file: ['file'],
} as const;
type Column = keyof typeof columns;

/**
 * Reads a list of names: plain text with one name a line in the order of the numbers, or CSV with a line of heads (`name`
 * and perhaps `x`, `y`, `side`, and the measures that `namesCsv` writes), or CSV of just name, x, y without heads.
 * @throws Fault `names-…` or `csv-quote`, each with its line
 */
export function readNames(text: string): NameList {
  const clean = text.replace(/^\ufeff/, '');
  if (clean.includes('\0')) {
    throw fault('names-no-text', undefined, 'This is no plain text.', 'Save it as text or CSV in UTF-8.');
  }
  const lines = clean.split(/\r\n|\n|\r/);
  const first = lines.find((line) => line.trim() !== '') ?? '';
  const separator = [',', ';', '\t'].toSorted((a, b) => first.split(b).length - first.split(a).length)[0]!;
  const heads = first.split(separator).map(headWord);
  const known = heads.filter((head) => columnOf(head) !== undefined);
  let list: NameList;
  if (columnOf(heads[0]!) === 'name' || known.length > 1) list = headedList(csvRows(clean, separator), separator);
  else if (lines.some((line) => isPlaced(line.split(separator), separator)))
    list = placedList(csvRows(clean, separator), separator);
  else list = plainList(lines);
  if (list.entries.length > mostNames) {
    const where = list.entries[mostNames]!.line;
    throw fault('names-too-many', where, `More than ${mostNames} names.`, 'Check that it is the right file.');
  }
  if (list.entries.every(({ name }) => name === '')) {
    throw fault('names-none', undefined, 'There is no name in it.', 'Write one name a line, or fill the column name.');
  }
  return list;
}

function plainList(lines: readonly string[]): NameList {
  const last = lines.findLastIndex((line) => line.trim() !== '');
  const entries = lines
    .slice(0, last + 1)
    .map((line, i): NameEntry => ({ line: i + 1, name: checkedName(line, i + 1), number: i + 1 }));
  return { by: 'number', entries, findings: [] };
}

/** Name, x, y without a line of heads. */
function placedList(rows: readonly CsvRow[], separator: string): NameList {
  const entries = rows.map(({ line, cells }): NameEntry => {
    if (!isPlaced(cells, separator)) {
      const message = 'This line is not a name, an x and a y as the other lines are.';
      throw fault('names-not-placed', line, message, 'Write name, x, y on every line, or one plain name a line.');
    }
    const [x, y] = cells.slice(1).map((cell) => realNumber(cell, separator));
    return { line, name: checkedName(cells[0]!, line), centreMm: [x!, y!] };
  });
  return { by: 'place', entries, findings: [] };
}

function isPlaced(cells: readonly string[], separator: string): boolean {
  return cells.length === 3 && cells.slice(1).every((cell) => realNumber(cell, separator) !== undefined);
}

function headedList(rows: readonly CsvRow[], separator: string): NameList {
  const [head, ...body] = rows as [CsvRow, ...CsvRow[]];
  const at = new Map<Column, number>();
  const unknown: string[] = [];
  for (const [i, cell] of head.cells.entries()) {
    const column = columnOf(headWord(cell));
    if (column === undefined) unknown.push(cell.trim());
    else if (at.has(column)) {
      throw fault('names-column-twice', head.line, `Two columns are headed ${quoted(cell)}.`, 'Take one out.');
    } else at.set(column, i);
  }
  if (!at.has('name')) {
    throw fault(
      'names-no-name-column',
      head.line,
      `No column is headed name; there are: ${head.cells.slice(0, 6).map(quoted).join(', ')}.`,
      'Head the column of the names: name.',
    );
  }
  if (at.has('x') !== at.has('y')) {
    throw fault('names-half-a-place', head.line, 'One of the columns x and y is missing.', 'Give both, or neither.');
  }
  const findings: Finding[] = [];
  const named = unknown.filter((cell) => cell !== '');
  if (named.length > 0) {
    const slip = ['name', 'side'].find((head) => named.some((cell) => isSlip(headWord(cell), head)));
    findings.push({
      code: 'names-column-unread',
      severity: slip === undefined ? 'note' : 'caution',
      message: `The list of names has columns that are not read: ${named.slice(0, 6).map(quoted).join(', ')}${named.length > 6 ? ' …' : ''}.${slip === undefined ? '' : ` Did you mean '${slip}'?`}`,
    });
  }
  const byPlace = at.has('x');
  const entries = body.map((row, i) => headedEntry(row, i, at, head.cells.length, separator));
  if (!byPlace) checkNumbers(entries);
  return { by: byPlace ? 'place' : 'number', entries, findings };
}

function headedEntry(
  { line, cells }: CsvRow,
  index: number,
  at: ReadonlyMap<Column, number>,
  width: number,
  separator: string,
): NameEntry {
  if (cells.slice(width).some((cell) => cell.trim() !== '')) {
    const message = `${cells.length} cells, but ${width} heads.`;
    throw fault('names-cells', line, message, 'Put quotes round a name that has a comma in it.');
  }
  const cellOf = (column: Column) => cells[at.get(column) ?? -1]?.trim() ?? '';
  const real = (column: Column, least = -Infinity): number | undefined => {
    const cell = cellOf(column);
    if (cell === '') return undefined;
    const value = realNumber(cell, separator);
    if (value !== undefined && value >= least) return value;
    throw fault(
      'names-number',
      line,
      `${quoted(cell)} in column ${column} cannot be read.`,
      'Write a number, as 12.5.',
    );
  };
  const [x, y] = [real('x'), real('y')];
  if (at.has('x') && (x === undefined || y === undefined)) {
    const message = 'This line says no place.';
    throw fault('names-not-placed', line, message, 'Fill x and y on every line, or leave both columns out.');
  }
  const number = real('number', 1) ?? index + 1;
  if (!Number.isInteger(number)) {
    throw fault('names-number', line, `${quoted(cellOf('number'))} is no number of a cavity.`, 'Write 1, 2, 3 …');
  }
  const shape = cellOf('shapeMm')
    .split(/\s+/)
    .map((cell) => realNumber(cell, separator));
  const sound = shape.length === shapeNumbers && shape.every((value) => value !== undefined);
  if (cellOf('shapeMm') !== '' && !sound) {
    const message = 'The column shapeMm does not hold its seven numbers.';
    throw fault('names-shape', line, message, 'Leave the column as it was written, or empty.');
  }
  const file = cellOf('file')
    .toLowerCase()
    .replace(/^sha256:/, '');
  const measures = {
    volumeMm3: real('volumeMm3', 0),
    openingAreaMm2: real('openingAreaMm2', 0),
    depthMm: real('depthMm'),
  };
  return {
    line,
    name: sidedName(checkedName(cellOf('name'), line), cellOf('side'), line),
    number,
    ...(x !== undefined && y !== undefined && { centreMm: [x, y] as const }),
    ...Object.fromEntries(Object.entries(measures).filter(([, value]) => value !== undefined)),
    ...(sound && { shapeMm: shape as number[] }),
    ...(file !== '' && { file }),
  };
}

function checkNumbers(entries: readonly NameEntry[]): void {
  const lineOf = new Map<number, number>();
  for (const { number, line } of entries) {
    const before = lineOf.get(number!);
    if (before !== undefined) {
      const message = `Number ${number} stands on line ${before} already.`;
      throw fault('names-number-twice', line, message, 'Give every cavity one line.');
    }
    lineOf.set(number!, line);
  }
}

/** `centre x (mm)` and `centreXMm` are the same head. */
function headWord(cell: string): string {
  return cell.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');
}

function columnOf(head: string): Column | undefined {
  return (Object.keys(columns) as Column[]).find((column) => (columns[column] as readonly string[]).includes(head));
}

/** A letter too many, too few, wrong, or two in the wrong order. */
function isSlip(word: string, head: string): boolean {
  return editDistance(word, head) === 1 || [...word].sort().join('') === [...head].sort().join('');
}
