import { Fault } from '../base/fault.js';

/** Coordinates past this are damage, not a mould: a plate of 1,000 km. Volumes of smaller ones stay finite. */
export const largestCoordinate = 1e9;

export function badCoordinate(value: number, where: string): Fault {
  return Number.isFinite(value)
    ? new Fault({
        code: 'coordinate-too-large',
        where,
        message: `A coordinate is ${value.toExponential(1)}, which no plate can have: the file is damaged.`,
        remedy: 'Export the mesh again.',
      })
    : new Fault({
        code: 'coordinate-not-finite',
        where,
        message: `A coordinate is not a finite number (${value}).`,
        remedy: 'Repair the mesh in the program it came from, and export it again.',
      });
}

/** Why a word that should be a number is none. */
export function badNumber(word: string, where: string): Fault {
  if (/^[+-]?\d*,\d+/.test(word)) {
    return new Fault({
      code: 'decimal-comma',
      where,
      message: `The number "${shown(word)}" has a decimal comma.`,
      remedy: 'Export the mesh with decimal points (set the program or system to English numbers), or as binary STL.',
    });
  }
  if (/^[+-]?(nan|inf|1\.#)/i.test(word)) return badCoordinate(Number.NaN, where);
  return new Fault({
    code: 'number-unreadable',
    where,
    message: `"${shown(word)}" stands where a number should.`,
    remedy: 'Export the mesh again.',
  });
}

export function noTriangles(): Fault {
  return new Fault({
    code: 'no-triangles',
    message: 'The file is a mesh format, but holds no triangle.',
    remedy: 'Check that the right body was chosen, and export the mesh again.',
  });
}

/** A word from a file, short and printable enough for a message. */
export function shown(word: string): string {
  const plain = word.replace(/[^\x20-\x7e\u00a1-\uffff]/g, '?');
  return plain.length > 40 ? `${plain.slice(0, 40)}…` : plain;
}

/** Zero or white space: what may stand behind the end of a mesh. */
export function isBlank(byte: number): boolean {
  return byte === 0 || byte === 32 || (byte >= 9 && byte <= 13);
}
