import { Fault } from '../base/fault.js';

export interface CsvRow {
  /** Line of the file on which the row begins, from 1. */
  readonly line: number;
  readonly cells: readonly string[];
}

/**
 * Rows of a CSV text (RFC 4180), blank lines left out. Besides the comma a semicolon or a tab may part the cells, as
 * spreadsheets of many countries write them.
 * @throws Fault `csv-quote` where a quoted cell does not end, or goes on behind its end
 */
export function csvRows(text: string, separator: string): CsvRow[] {
  const rows: CsvRow[] = [];
  let cells: string[] = [];
  let [line, rowLine, at] = [1, 1, 0];
  const endRow = () => {
    if (cells.some((cell) => cell.trim() !== '')) rows.push({ line: rowLine, cells });
    cells = [];
  };
  while (at < text.length) {
    if (cells.length === 0) rowLine = line;
    let cell: string;
    if (text[at] === '"') {
      const close = closingQuote(text, at);
      const next = close < 0 ? undefined : (text[close + 1] ?? '\n');
      if (next !== separator && next !== '\n' && next !== '\r') throw quoteFault(line, close < 0);
      cell = text.slice(at + 1, close).replaceAll('""', '"');
      line += cell.split('\n').length - 1;
      at = close + 1;
    } else {
      let end = at;
      while (end < text.length && text[end] !== separator && text[end] !== '\n' && text[end] !== '\r') end++;
      cell = text.slice(at, end);
      at = end;
    }
    cells.push(cell);
    if (text[at] === separator) {
      at++;
      if (at === text.length) cells.push('');
      continue;
    }
    if (text[at] === '\r' && text[at + 1] === '\n') at++;
    at++;
    line++;
    endRow();
  }
  endRow();
  return rows;
}

function closingQuote(text: string, open: number): number {
  let at = open + 1;
  for (;;) {
    at = text.indexOf('"', at);
    if (at < 0 || text[at + 1] !== '"') return at;
    at += 2;
  }
}

function quoteFault(line: number, open: boolean): Fault {
  return new Fault({
    code: 'csv-quote',
    where: `line ${line}`,
    message: open ? 'A quoted cell begins here and does not end.' : 'A quoted cell goes on behind its closing quote.',
    remedy: 'Put quotes round the whole cell, and write a quote inside it twice.',
  });
}
