import { expect, test } from 'vitest';
import { chooseFills } from '../../src/fill/choose-fills.js';
import type { Piece, PlateLoad } from '../../src/fill/plate-load.js';

const plate = (...names: string[]) =>
  ({ pieces: names.map((name, i) => ({ number: i + 1, name }) as Piece) }) as unknown as PlateLoad;

const wanted = (words: string[], ...names: string[]) =>
  chooseFills([plate(...names)], { wants: words.map((name) => ({ name, count: 2 })) }).map(({ pieces, count }) => [
    count,
    ...pieces.map(({ name }) => name),
  ]);

test('a name may be written with dashes for blanks, and in any capitals', () => {
  expect(wanted(['brow-left'], 'brow left', 'brow right')).toEqual([[2, 'brow left']]);
  expect(wanted(['Brow_Left', 'CHIN'], 'brow left', 'chin')).toEqual([[2, 'brow left', 'chin']]);
  expect(chooseFills([plate('brow left', 'chin')], { only: ['brow-left'] })[0]!.pieces).toHaveLength(1);
});

test('but the very name goes first, and what could be two pieces is none', () => {
  expect(wanted(['brow-left'], 'brow left', 'brow-left')).toEqual([[2, 'brow-left']]);
  expect(() => wanted(['Brow left'], 'brow left', 'brow-left')).toThrow(/No cavity is called 'Brow left'/);
  expect(() => wanted(['horn'], 'brow left')).toThrow(/No cavity is called 'horn'/);
});

test('one piece under two spellings is not counted twice', () => {
  expect(() => wanted(['brow-left', 'brow left'], 'brow left')).toThrow(/'brow left' is wanted twice/);
});
