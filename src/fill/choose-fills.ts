import { suggestName } from '../base/closest-name.js';
import { Fault } from '../base/fault.js';
import type { Piece, PlateLoad } from './plate-load.js';

/** Fills of one plate that use the same cavities. */
export interface FillKind {
  readonly plate: number;
  readonly pieces: readonly Piece[];
  readonly count: number;
}

export interface Want {
  readonly name: string;
  readonly count: number;
}

export interface FillChoice {
  /** How often every plate is filled; 1 where nothing is said. */
  readonly fills?: number | undefined;
  /** How many of each piece are wanted; decides the fills instead. */
  readonly wants?: readonly Want[] | undefined;
  /** Numbers or names of the cavities to use; all where nothing is said. */
  readonly only?: readonly string[] | undefined;
}

/**
 * Which cavities are filled, and how often. With wants, a plate is filled as often as its scarcest piece asks for,
 * and a cavity whose piece is no longer wanted stays empty.
 * @throws Fault `piece-unknown` where a wanted or chosen piece is on no plate, `piece-twice`
 */
export function chooseFills(plates: readonly PlateLoad[], asked: FillChoice): FillKind[] {
  const choice = inTheirOwnWords(plates, asked);
  const used = plates.map((plate) => plate.pieces.filter((piece) => isChosen(piece, choice.only)));
  for (const word of choice.only ?? []) {
    if (!used.some((pieces) => pieces.some((piece) => isChosen(piece, [word])))) throw unknownPiece(word, plates);
  }
  if (choice.wants === undefined) {
    const count = choice.fills ?? 1;
    return used.flatMap((pieces, plate) => (pieces.length === 0 ? [] : [{ plate, pieces, count }]));
  }
  return fillsForWants(plates, used, choice.wants);
}

/** A name that stands on no plate as it is written, but on one with blanks for dashes or in other capitals, is meant. */
function inTheirOwnWords(plates: readonly PlateLoad[], choice: FillChoice): FillChoice {
  const names = [...new Set(plates.flatMap(({ pieces }) => pieces.map(({ name }) => name)))];
  const plain = (name: string) =>
    name
      .normalize('NFC')
      .toLowerCase()
      .replace(/[\s_-]+/g, ' ');
  const own = (word: string): string => {
    const alike = names.filter((name) => plain(name) === plain(word));
    return names.includes(word) || alike.length !== 1 ? word : alike[0]!;
  };
  const wants = choice.wants?.map((want) => ({ ...want, name: own(want.name) }));
  const twice = wants?.find(({ name }, i) => wants.findIndex((want) => want.name === name) < i);
  if (twice !== undefined) {
    const message = `'${twice.name}' is wanted twice.`;
    throw new Fault({ code: 'piece-twice', kind: 'usage', message, remedy: 'Give one count for it.' });
  }
  return { ...choice, wants, only: choice.only?.map(own) };
}

function isChosen(piece: Piece, only: readonly string[] | undefined): boolean {
  return only === undefined || only.includes(String(piece.number)) || only.includes(piece.name);
}

function unknownPiece(word: string, plates: readonly PlateLoad[]): Fault {
  const pieces = plates.flatMap((plate) => plate.pieces);
  const known = /^\d+$/.test(word) ? pieces.map((piece) => String(piece.number)) : pieces.map((piece) => piece.name);
  return new Fault({
    code: 'piece-unknown',
    kind: 'usage',
    message: `No cavity is called '${word}'.`,
    remedy: suggestName(word, [...new Set(known)]),
  });
}

function fillsForWants(plates: readonly PlateLoad[], used: readonly Piece[][], wants: readonly Want[]): FillKind[] {
  const fillsOf = plates.map(() => 0);
  const cavitiesOf = (name: string) => used.map((pieces) => pieces.filter((piece) => piece.name === name).length);
  const castBy = (cavities: readonly number[]) => cavities.reduce((sum, n, plate) => sum + n * fillsOf[plate]!, 0);
  // The piece with the fewest places to be cast goes first: it leaves the least choice.
  const inOrder = wants
    .map((want) => ({ ...want, cavities: cavitiesOf(want.name) }))
    .toSorted((a, b) => a.cavities.filter(Boolean).length - b.cavities.filter(Boolean).length);
  for (const want of inOrder) {
    if (!want.cavities.some(Boolean)) throw unknownPiece(want.name, plates);
    while (castBy(want.cavities) < want.count) {
      const most = Math.max(...want.cavities);
      fillsOf[want.cavities.indexOf(most)]! += 1;
    }
  }
  return leaveOutSurplus(used, fillsOf, wants);
}

/** Goes through the fills plate by plate and takes only the cavities whose pieces are still wanted. */
function leaveOutSurplus(used: readonly Piece[][], fillsOf: readonly number[], wants: readonly Want[]): FillKind[] {
  const short = new Map(wants.map((want) => [want.name, want.count]));
  const kinds: { plate: number; pieces: Piece[]; count: number }[] = [];
  fillsOf.forEach((fills, plate) => {
    for (let fill = 0; fill < fills; fill++) {
      const pieces = used[plate]!.filter((piece) => {
        const left = short.get(piece.name) ?? 0;
        if (left > 0) short.set(piece.name, left - 1);
        return left > 0;
      });
      const last = kinds.at(-1);
      if (pieces.length === 0) continue;
      const same = last?.plate === plate && last.pieces.length === pieces.length;
      if (same && last.pieces.every((piece, index) => piece === pieces[index])) last.count += 1;
      else kinds.push({ plate, pieces, count: 1 });
    }
  });
  return kinds;
}
