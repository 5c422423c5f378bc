import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { Fault } from '../../src/base/fault.js';
import { sideOf } from '../../src/base/wearer-side.js';
import { longestName } from '../../src/reading/name-cells.js';
import { readNames } from '../../src/reading/name-list.js';
import { namesCsv } from '../../src/sheet/names-csv.js';
import { sampleSurvey } from '../sheet/sample-survey.js';

const names = (text: string) => readNames(text).entries.map(({ name }) => name);

function faultOf(text: string): Fault {
  try {
    readNames(text);
  } catch (error) {
    if (error instanceof Fault) return error;
    throw error;
  }
  throw new Error('no fault');
}

describe('plain lists', () => {
  it('one name a line, by number; a blank line or a dash leaves a cavity without a name', () => {
    const list = readNames('brow left\r\n\r\n- \r\n  chin, upper \r\n\r\n');
    expect(list.by).toBe('number');
    expect(list.entries.map(({ number, name, line }) => [number, name, line])).toEqual([
      [1, 'brow left', 1],
      [2, '', 2],
      [3, '', 3],
      [4, 'chin, upper', 4],
    ]);
  });

  it('a number in place of a name is none; the same letter is one letter however it was typed', () => {
    expect(names('cavity-3\nnez e\u0301troit')).toEqual(['', 'nez \u00e9troit']);
  });
});

describe('CSV', () => {
  it('name, x, y, with or without heads, in any order of columns', () => {
    const expected = [
      { name: 'brow', centreMm: [46.5, 125] },
      { name: 'chin, upper', centreMm: [-3, 40.25] },
    ];
    for (const text of [
      'name,x,y\nbrow,46.5,125\n"chin, upper",-3,40.25\n',
      '\ufeffX mm;Y mm;Name\r\n46,5;125;brow\r\n-3;40,25;chin, upper\r\n;;\r\n',
      'name\tx\ty\nbrow\t46.5\t125\nchin, upper\t-3\t40.25',
      'brow,46.5,125\n"chin, upper",-3,40.25',
    ]) {
      const list = readNames(text);
      expect(list.by).toBe('place');
      expect(list.findings).toEqual([]);
      expect(list.entries).toMatchObject(expected);
    }
  });

  it('without places it goes by its numbers, or by its lines', () => {
    expect(readNames('number,name\n3,brow\n1,chin').entries.map(({ number, name }) => [number, name])).toEqual([
      [3, 'brow'],
      [1, 'chin'],
    ]);
    expect(readNames('name\nbrow\nchin').entries.map(({ number, name }) => [number, name])).toEqual([
      [1, 'brow'],
      [2, 'chin'],
    ]);
  });

  it('a side of its own column stands in the name, once', () => {
    expect(names('name,side\nbrow,left\near R,r\nchin,\nnose,middle')).toEqual(['brow left', 'ear R', 'chin', 'nose']);
  });

  it('columns that are not read are said; one that looks like a slip is a caution', () => {
    const [finding] = readNames('name,x,y,maker,note\nbrow,1,2,us,').findings;
    expect(finding).toMatchObject({ code: 'names-column-unread', severity: 'note' });
    expect(finding!.message).toContain("'maker', 'note'");
    const [slip] = readNames('name,x,y,sied\nbrow,1,2,left').findings;
    expect(slip).toMatchObject({ code: 'names-column-unread', severity: 'caution' });
    expect(slip!.message).toContain("Did you mean 'side'?");
  });
});

const long = 'x'.repeat(10_000);
test.each([
  ['', 'names-none', undefined, ''],
  ['\n\n', 'names-none', undefined, ''],
  ['b\0r\0o\0w\0', 'names-no-text', undefined, 'UTF-8'],
  [`brow\n${long}`, 'names-too-long', 'line 2', '10000 characters'],
  ['brow\nch\u0007in', 'names-character', 'line 2', '\\u{7}'],
  ['brow\nch\u202ein', 'names-character', 'line 2', '\\u{202e}'],
  ['brow\nnez \ufffdtroit', 'names-character', 'line 2', 'UTF-8'],
  ['brow\n7', 'names-only-digits', 'line 2', "'7'"],
  ['nmae,x,y\nbrow,1,2', 'names-no-name-column', 'line 1', "'nmae'"],
  ['name,x\nbrow,1', 'names-half-a-place', 'line 1', 'x and y'],
  ['name,name\nbrow,1', 'names-column-twice', 'line 1', "'name'"],
  ['name,x,y\nbrow,1,2\nchin,1,two', 'names-number', 'line 3', "'two'"],
  ['name,x,y\nbrow,1,2\nchin,1,', 'names-not-placed', 'line 3', 'no place'],
  ['name,x,y\nbrow,1,2\nchin, upper,1,2', 'names-cells', 'line 3', '4 cells'],
  ['brow,1,2\nchin,1 2', 'names-not-placed', 'line 2', 'x and a y'],
  ['number,name\n1,brow\n1,chin', 'names-number-twice', 'line 3', 'line 2'],
  ['number,name\n1.5,brow', 'names-number', 'line 2', "'1.5'"],
  ['number,name\n0,brow', 'names-number', 'line 2', "'0'"],
  ['name,side\nbrow,up', 'names-side', 'line 2', "'up'"],
  ['name,side\nbrow left,right', 'names-side', 'line 2', 'says left'],
  ['name,x,y,shapeMm\nbrow,1,2,3 4', 'names-shape', 'line 2', 'seven'],
  ['name,x,y\n"brow,1,2\nchin,3,4', 'csv-quote', 'line 2', 'does not end'],
  ['name,x,y\n"brow" left,1,2', 'csv-quote', 'line 2', 'closing quote'],
  ['name,x,y\n"bro\nw",1,2', 'names-character', 'line 2', '\\n'],
  [Array.from({ length: 5001 }, (_, i) => `n${i}`).join('\n'), 'names-too-many', 'line 5001', ''],
])('list %# is refused: %#', (text, code, where, words) => {
  const fault = faultOf(text);
  expect([fault.code, fault.where]).toEqual([code, where]);
  expect(fault.message + fault.remedy).toContain(words);
  expect(fault.remedy).toBeTruthy();
  expect(fault.toLine().length).toBeLessThan(300);
});

test.each([
  ['brow left', 'left'],
  ['Brow-L', 'left'],
  ['browR', 'right'],
  ['left ear 2', 'left'],
  ['ear R2', 'right'],
  ['l_cheek', 'left'],
  ['cheek', null],
  ['L-shaped scar', null],
  ['brow l upper', null],
  ['left to right bridge', null],
  ['bright leftover', null],
])('%s carries the side %s', (name, side) => expect(sideOf(name)).toBe(side));

describe('a list that is written is read back', () => {
  const document = sampleSurvey();
  const [cavity] = document.cavities;
  const withName = (name: string) => ({
    ...document,
    cavities: [{ ...cavity!, name, shapeMm: [9, 1, 2, 3, -4, 5, 6] }],
  });

  it('formulas are held still, and are the same names afterwards', () => {
    for (const name of ['=1+1', '+cheek', '-brow', '@chin', '=cmd|"/c x"!A1', "'=x"]) {
      const text = namesCsv(withName(name));
      expect(text.split('\r\n')[1]).toMatch(/^"?'/);
      expect(names(text)[0]).toBe(name.replace(/^'(?==)/, ''));
    }
  });

  it('any name comes back, or what of it can be shown (fast-check, seed 11)', () => {
    const given = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 100 });
    fc.assert(
      fc.property(given, (name) => {
        const text = namesCsv(withName(name));
        const [entry] = text.trim() === '' ? [] : readAnyway(text);
        if (entry === undefined) return;
        expect([...entry.name].length).toBeLessThanOrEqual(longestName);
        const plain = name.trim().normalize('NFC');
        if (/^[\p{L}\p{N}][\p{L}\p{M}\p{N}\p{P}\p{S}\p{Zs}]*$/u.test(plain) && [...plain].length <= longestName)
          expect(entry.name).toBe(plain);
        expect(entry.shapeMm).toEqual([9, 1, 2, 3, -4, 5, 6]);
      }),
      { seed: 11, numRuns: 2000 },
    );
  });

  /** A name of digits only, or of nothing that can be seen, is refused by design. */
  function readAnyway(text: string) {
    try {
      return readNames(text).entries;
    } catch (error) {
      if (error instanceof Fault && ['names-only-digits', 'names-none'].includes(error.code)) return [];
      throw error;
    }
  }

  it('places and measures keep their digits, and letters beyond ASCII are marked as UTF-8', () => {
    const text = namesCsv(withName('nez \u00e9troit'));
    expect(text.startsWith('\ufeffname,x,y,side,number,')).toBe(true);
    expect(namesCsv(withName('nose')).startsWith('name,')).toBe(true);
    const [entry] = readNames(text).entries;
    expect(entry!.centreMm![0]).toBeCloseTo(cavity!.centreMm[0], 2);
    expect(entry!.volumeMm3! / cavity!.volumeMm3!).toBeCloseTo(1, 4);
    expect(document.source.sha256.startsWith(entry!.file!)).toBe(true);
  });
});
