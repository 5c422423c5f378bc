import { Fault } from '../base/fault.js';
import { shown } from './faults.js';

export type PlyEncoding = 'ascii' | 'binary_little_endian' | 'binary_big_endian';

/** Number types, by the names that PLY files give them; the value is their size in bytes. */
const sizes = {
  char: 1,
  uchar: 1,
  short: 2,
  ushort: 2,
  int: 4,
  uint: 4,
  float: 4,
  double: 8,
} as const;

export type PlyType = keyof typeof sizes;

const otherNames: Readonly<Record<string, PlyType>> = {
  int8: 'char',
  uint8: 'uchar',
  int16: 'short',
  uint16: 'ushort',
  int32: 'int',
  uint32: 'uint',
  float32: 'float',
  float64: 'double',
};

export interface PlyProperty {
  readonly name: string;
  readonly type: PlyType;
  readonly bytes: number;
  /** A list: the type of the count before its items. */
  readonly countType?: PlyType;
}

export interface PlyElement {
  readonly name: string;
  readonly count: number;
  readonly properties: readonly PlyProperty[];
}

export interface PlyHeader {
  readonly encoding: PlyEncoding;
  /** In the order in which the body holds them. */
  readonly elements: readonly PlyElement[];
  readonly bytes: number;
  readonly lines: number;
}

/** What takes the bytes behind the header. */
export interface PlyBody {
  push(bytes: Uint8Array): void;
  finish(): void;
}

/** Vertices are given by these properties, faces by a list under either name. */
export const axes = ['x', 'y', 'z'] as const;
export const indexLists: readonly string[] = ['vertex_indices', 'vertex_index'];

export function sizeOf(type: PlyType): number {
  return sizes[type];
}

export function isWhole(type: PlyType): boolean {
  return type !== 'float' && type !== 'double';
}

/**
 * Reads a PLY header (Turk 1994, "The PLY polygon file format").
 * @returns undefined where `bytes` do not yet hold all of it
 */
export function readPlyHeader(bytes: Uint8Array): PlyHeader | undefined {
  const text = new TextDecoder('latin1').decode(bytes);
  if (text.length < 5) return undefined;
  // The first line says how lines end; after the last, a byte that looks like half a line end may be the body's.
  const [, lineEnd] = /^ply(\r\n|\n|\r)/.exec(text) ?? [];
  if (lineEnd === undefined) throw headerFault(1, 'The first line is not "ply".');
  const end = new RegExp(`(?:${lineEnd})[ \t]*end_header[ \t]*(?:${lineEnd})`).exec(text);
  if (end === null) return undefined;
  const lines = text.slice(0, end.index).split(lineEnd);
  let encoding: PlyEncoding | undefined;
  const elements: { name: string; count: number; properties: PlyProperty[] }[] = [];
  for (const [i, line] of lines.entries()) {
    const words = line.trim().split(/[ \t]+/);
    const [keyword] = words;
    const number = i + 1;
    if (i === 0 || keyword === '' || keyword === 'comment' || keyword === 'obj_info') continue;
    if (keyword === 'format') encoding = readFormat(words, number);
    else if (keyword === 'element') elements.push(readElement(words, number));
    else if (keyword === 'property' && elements.length > 0)
      elements.at(-1)!.properties.push(readProperty(words, number));
    else throw headerFault(number, `"${shown(line.trim())}" is no line of a PLY header.`);
  }
  if (encoding === undefined) throw headerFault(lines.length, 'The header states no format.');
  checkElements(elements);
  return { encoding, elements, bytes: end.index + end[0].length, lines: lines.length + 1 };
}

function readFormat(words: readonly string[], line: number): PlyEncoding {
  const [, encoding, version] = words;
  const known = encoding === 'ascii' || encoding === 'binary_little_endian' || encoding === 'binary_big_endian';
  if (!known || version !== '1.0')
    throw headerFault(line, `The format "${shown(words.slice(1).join(' '))}" is not known.`);
  return encoding;
}

function readElement(
  words: readonly string[],
  line: number,
): { name: string; count: number; properties: PlyProperty[] } {
  const [, name, count] = words;
  if (name === undefined || !/^\d{1,10}$/.test(count ?? '') || words.length !== 3 || Number(count) >= 2 ** 32) {
    throw headerFault(line, 'An element needs a name and a count.');
  }
  return { name, count: Number(count), properties: [] };
}

function readProperty(words: readonly string[], line: number): PlyProperty {
  const isList = words[1] === 'list';
  const name = words[isList ? 4 : 2];
  const type = typeOf(words[isList ? 3 : 1], line);
  if (name === undefined || words.length !== (isList ? 5 : 3))
    throw headerFault(line, 'A property needs a type and a name.');
  if (!isList) return { name, type, bytes: sizes[type] };
  const countType = typeOf(words[2], line);
  if (!isWhole(countType)) throw headerFault(line, 'The count of a list must be a whole number.');
  return { name, type, bytes: sizes[type], countType };
}

function typeOf(word: string | undefined, line: number): PlyType {
  const name = word ?? '';
  if (Object.hasOwn(sizes, name)) return name as PlyType;
  if (Object.hasOwn(otherNames, name)) return otherNames[name]!;
  throw headerFault(line, `"${shown(name)}" is no number type of a PLY file.`);
}

/** The mesh must be there as vertices and, after them, faces; other elements are skipped. */
function checkElements(elements: readonly PlyElement[]): void {
  const strips = elements.find(({ name, count }) => name === 'tristrips' && count > 0);
  if (strips !== undefined) {
    throw new Fault({
      code: 'ply-strips',
      message: 'The mesh is stored as triangle strips, which are not read.',
      remedy: 'Export it as a PLY with faces, or as STL.',
    });
  }
  const names = elements.map(({ name }) => name);
  const [vertex, face] = [names.indexOf('vertex'), names.indexOf('face')];
  if (vertex < 0 || new Set(names).size !== names.length) {
    throw headerFault(undefined, 'The header must name the element "vertex", and each element once.');
  }
  const properties = elements[vertex]!.properties;
  if (!axes.every((axis) => properties.some(({ name, countType }) => name === axis && countType === undefined))) {
    throw headerFault(undefined, 'The vertices have no x, y and z.');
  }
  if (face < 0 || elements[face]!.count === 0) {
    throw new Fault({
      code: 'ply-points-only',
      message: 'The file holds points, but no faces between them.',
      remedy: 'Let the scanning program make a mesh of the points, and export that.',
    });
  }
  if (face < vertex) throw headerFault(undefined, 'The faces stand before the vertices.');
  const lists = elements[face]!.properties.filter(({ name }) => indexLists.includes(name));
  if (lists.length !== 1 || lists[0]!.countType === undefined || !isWhole(lists[0]!.type)) {
    throw headerFault(undefined, 'The faces have no list "vertex_indices" of whole numbers.');
  }
}

function headerFault(line: number | undefined, message: string): Fault {
  const where = line === undefined ? {} : { where: `line ${line}` };
  return new Fault({
    code: 'ply-header',
    ...where,
    message,
    remedy: 'Export the mesh again, as binary STL if the program can.',
  });
}
