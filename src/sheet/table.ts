/** Tables and paragraphs for a text screen. Cells are plain text: colour is laid over whole lines, never inside. */

/** Unicode blocks whose characters take two places on a text screen (UAX 11, East Asian Width W and F), and emoji. */
const wide =
  /[\u1100-\u115f\u2e80-\u303e\u3041-\ua4cf\ua960-\ua97f\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff01-\uff60\uffe0-\uffe6\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]|\p{Emoji_Presentation}/u;
const latin = /^[\u0020-\u007e\u00a1-\u02ff\u2010-\u2027]*$/;
const segmenter = new Intl.Segmenter('en', { granularity: 'grapheme' });

function graphemes(text: string): string[] {
  return latin.test(text) ? [...text] : Array.from(segmenter.segment(text), (part) => part.segment);
}

/** Places the text takes on a text screen. */
export function displayWidth(text: string): number {
  if (latin.test(text)) return text.length;
  return graphemes(text).reduce((sum, grapheme) => sum + (wide.test(grapheme) ? 2 : 1), 0);
}

/** The text cut to `width` places; what was cut shows as an ellipsis. */
export function shorten(text: string, width: number): string {
  // No cell shows more than a few hundred characters: a name of a million is not measured to its end.
  const head = text.length > 4 * width + 64 ? `${text.slice(0, 4 * width + 64)}\u2026` : text;
  if (displayWidth(head) <= width) return head;
  let kept = '';
  let used = 0;
  for (const grapheme of graphemes(head)) {
    const next = displayWidth(grapheme);
    if (used + next > width - 1) break;
    kept += grapheme;
    used += next;
  }
  return `${kept}\u2026`;
}

/** The text with blanks to `width` places: before it (`right`) or after it (`left`). */
export function pad(text: string, width: number, align: 'left' | 'right' = 'left'): string {
  const blanks = ' '.repeat(Math.max(0, width - displayWidth(text)));
  return align === 'right' ? blanks + text : text + blanks;
}

/**
 * Breaks a paragraph at its blanks into lines of at most `width` places.
 * @param hang blanks before every line but the first
 */
export function wrap(text: string, width: number, hang = 0): string[] {
  const lines: string[] = [];
  const lead = ' '.repeat(hang);
  let line = '';
  for (const word of text.split(/\s+/).filter((part) => part !== '')) {
    const piece = shorten(word, Math.max(1, width - hang));
    if (line.trim() === '') line += piece;
    else if (displayWidth(line) + 1 + displayWidth(piece) <= width) line += ` ${piece}`;
    else {
      lines.push(line);
      line = lead + piece;
    }
  }
  return line === '' ? lines : [...lines, line];
}

/** A paragraph that stands to the right of its label: `File     mould.stl: binary STL, …`. */
export function labelled(label: string, text: string, width: number, labelWidth = 9): string[] {
  return wrap(text, width - labelWidth).map((line, i) => pad(i === 0 ? label : '', labelWidth) + line);
}

export interface Column {
  /** Lines of the head, the unit on the last: `['volume', 'mm³']`. */
  readonly head: readonly string[];
  /** Numbers stand right, words left (the default). */
  readonly align?: 'left' | 'right';
  /** The column may be cut down to this many places where the table would be wider than the screen. */
  readonly least?: number;
  /** What is too wide goes on in lines below, three times the width at most, instead of being cut: names to be typed. */
  readonly wraps?: true;
}

export interface TableOptions {
  /** Places a line may take; 80 where not given. */
  readonly width?: number;
  /** Rows under a second rule: sums. */
  readonly foot?: readonly (readonly string[])[];
}

/** A table as lines without line ends: head, rule, rows. Heads stand at the bottom of their column. */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  { width = 80, foot = [] }: TableOptions = {},
): string[] {
  const widths = columns.map(({ head }, i) =>
    Math.max(...head.map(displayWidth), ...[...rows, ...foot].map((row) => displayWidth(row[i] ?? ''))),
  );
  const total = (gap: number): number => widths.reduce((sum, w) => sum + w, gap * (columns.length - 1));
  const gap = total(2) <= width ? 2 : 1;
  for (let over = total(gap) - width; over > 0; over--) {
    const widest = columns
      .map((column, i) => ({ i, room: widths[i]! - (column.least ?? widths[i]!) }))
      .reduce((best, next) => (next.room > best.room ? next : best));
    if (widest.room <= 0) break;
    widths[widest.i]!--;
  }
  const cell = (text: string, i: number): string[] => {
    const room = widths[i]!;
    const lines = columns[i]!.wraps ? wrap(shorten(text, 3 * room), room) : [shorten(text, room)];
    return lines.map((part) => pad(part, room, columns[i]!.align));
  };
  const lines = (cells: readonly string[]): string[] => {
    const parts = columns.map((_, i) => cell(cells[i] ?? '', i));
    return Array.from({ length: Math.max(...parts.map((part) => part.length)) }, (_, level) =>
      parts
        .map((part, i) => part[level] ?? ' '.repeat(widths[i]!))
        .join(' '.repeat(gap))
        .trimEnd(),
    );
  };
  const depth = Math.max(...columns.map(({ head }) => head.length));
  const heads = Array.from({ length: depth }, (_, level) =>
    lines(columns.map(({ head }) => head[level - depth + head.length] ?? '')).join(''),
  );
  const rule = '\u2500'.repeat(Math.min(total(gap), width));
  return [...heads, rule, ...rows.flatMap(lines), ...(foot.length > 0 ? [rule, ...foot.flatMap(lines)] : [])];
}
