import { describe, expect, test } from 'vitest';
import { plainText } from '../../src/base/plain-text.js';
import { fixed, plusMinus } from '../../src/sheet/figures.js';
import { displayWidth, shorten, table, wrap } from '../../src/sheet/table.js';

describe('table', () => {
  const columns = [
    { head: ['piece'], least: 6 },
    { head: ['volume', 'mm³'], align: 'right' as const },
  ];

  test('numbers stand right, heads at the bottom, sums under a rule', () => {
    const lines = table(
      columns,
      [
        ['brow', '9.1'],
        ['scar', '1234.5'],
      ],
      { foot: [['all', '1243.6']] },
    );
    expect(lines).toEqual([
      '       volume',
      'piece     mm³',
      '─────────────',
      'brow      9.1',
      'scar   1234.5',
      '─────────────',
      'all    1243.6',
    ]);
  });

  test('a long name is cut, a number never', () => {
    const lines = table(columns, [['a name that never ends', '1234567.8']], { width: 24 });
    expect(lines.at(-1)).toBe('a name that n… 1234567.8');
    for (const line of lines) expect(displayWidth(line)).toBeLessThanOrEqual(24);
  });

  test('a name that must be typed goes on below', () => {
    const typed = [{ head: ['piece'], least: 6, wraps: true as const }, columns[1]!];
    expect(table(typed, [['a name that never ends, or does it', '1234567.8']], { width: 20 }).slice(3)).toEqual([
      'a name     1234567.8',
      'that never',
      'ends, or',
      'do…',
    ]);
  });

  test('a table that cannot be cut far enough keeps its figures', () => {
    expect(table(columns, [['a long name', '1234567.8']], { width: 8 }).at(-1)).toContain('1234567.8');
  });
});

describe('width on a text screen', () => {
  test('wide characters take two places, marks none', () => {
    expect(displayWidth('mm³')).toBe(3);
    expect(displayWidth('日本')).toBe(4);
    expect(displayWidth('e\u0301a')).toBe(2);
  });

  test('a name of a million characters is cut at once', () => {
    expect(shorten('x'.repeat(1_000_000), 10)).toBe('xxxxxxxxx…');
    expect(displayWidth(shorten('日'.repeat(1_000_000), 10))).toBeLessThanOrEqual(10);
  });
});

test('paragraphs break at blanks and hang', () => {
  expect(wrap('thicken the edge by two tenths over nine millimetres', 20, 2)).toEqual([
    'thicken the edge by',
    '  two tenths over',
    '  nine millimetres',
  ]);
  expect(wrap('', 20)).toEqual([]);
});

test('a figure that does not exist is a dash, and no zero carries a minus', () => {
  expect([fixed(null, 1), fixed(Number.NaN, 1), fixed(-0.001, 1), fixed(2.25, 2)]).toEqual(['–', '–', '0.0', '2.25']);
  expect([plusMinus(0.31, 1), plusMinus(0.3, 1), plusMinus(null, 1)]).toEqual(['±0.4', '±0.3', '–']);
});

describe('text from a file', () => {
  test('escape sequences, direction marks and line ends show as what they are', () => {
    expect(plainText('a\u001b[31mred\u202eflip\nb\u0007\u200b')).toBe(
      'a\\u{1b}[31mred\\u{202e}flip\\nb\\u{7}\\u{200b}',
    );
    expect(plainText('\u009b2J')).toBe('\\u{9b}2J');
    expect(plainText('lone \ud800')).toBe('lone \\u{d800}');
  });

  test('ordinary names in any script stay as they are', () => {
    for (const name of ['brow left', 'Ohr groß', 'čelo', 'حاجب', '眉', 'été']) expect(plainText(name)).toBe(name);
  });

  test('a pile of marks is cut', () => {
    expect(displayWidth(plainText(`z${'\u0300'.repeat(500)}`))).toBeLessThan(4);
  });
});
