import { badCoordinate, isBlank, largestCoordinate } from './faults.js';
import type { IndexedFaces } from './indexed-faces.js';
import { longestList, plyBadCount, plyBadIndex, plyBytesBehind, plyCutShort, plyFaceShort } from './ply-faults.js';
import { axes, indexLists, type PlyBody, type PlyElement, type PlyHeader, type PlyType, sizeOf } from './ply-header.js';

/** The body of a binary PLY, of either byte order: one record an element, without padding. */
export class PlyBinaryBody implements PlyBody {
  private readonly layouts: readonly Layout[];
  private readonly little: boolean;
  private current = 0;
  private done = 0;
  /** The beginning of a record that was not whole yet. */
  private carry = new Uint8Array(0);
  /** Bytes of the file before what is being read. */
  private position: number;
  private readonly point = new Float64Array(3);

  constructor(
    header: PlyHeader,
    private readonly faces: IndexedFaces,
  ) {
    this.layouts = header.elements.filter(({ properties }) => properties.length > 0).map(layoutOf);
    this.little = header.encoding === 'binary_little_endian';
    this.position = header.bytes;
  }

  push(bytes: Uint8Array): void {
    const from = this.carry.length === 0 ? 0 : this.completeCarried(bytes);
    if (from < 0) return;
    const used = from + this.take(bytes.subarray(from), Number.POSITIVE_INFINITY);
    this.carry = bytes.slice(used);
  }

  finish(): void {
    this.skipFinished();
    const layout = this.layouts[this.current];
    if (layout === undefined) return;
    const { count, name } = layout.element;
    throw plyCutShort(this.whereAt(this.carry.length), name, this.done, count);
  }

  /** Reads the record that began in an earlier chunk. Returns where in `bytes` the next begins, -1 if not in them. */
  private completeCarried(bytes: Uint8Array): number {
    const { carry } = this;
    for (let more = 64; ; more *= 4) {
      const piece = new Uint8Array(carry.length + Math.min(more, bytes.length));
      piece.set(carry);
      piece.set(bytes.subarray(0, more), carry.length);
      const used = this.take(piece, 1);
      if (used > 0) {
        this.carry = new Uint8Array(0);
        return used - carry.length;
      }
      if (more >= bytes.length) {
        this.carry = piece;
        return -1;
      }
    }
  }

  /** Reads whole records, at most so many. Returns how many bytes they took. */
  private take(bytes: Uint8Array, mostRecords: number): number {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    let at = 0;
    for (let records = 0; records < mostRecords && at < bytes.length; records++) {
      this.skipFinished();
      const layout = this.layouts[this.current];
      if (layout === undefined) {
        this.checkBlank(bytes, at);
        at = bytes.length;
        break;
      }
      const end = this.recordEnd(layout, view, at);
      if (end > bytes.length) break;
      if (layout.role === 'vertex') this.readVertex(layout, view, at);
      else if (layout.role === 'face') this.readFace(layout, view, at);
      this.done++;
      at = end;
    }
    this.position += at;
    return at;
  }

  private skipFinished(): void {
    while (this.current < this.layouts.length && this.done === this.layouts[this.current]!.element.count) {
      this.current++;
      this.done = 0;
    }
  }

  /** Where the record ends; past the end of the bytes where they do not hold all of it. */
  private recordEnd(layout: Layout, view: DataView, at: number): number {
    return layout.bytes >= 0 ? at + layout.bytes : this.propertyAt(layout.element.properties.length, layout, view, at);
  }

  /** Where a record's property of this number begins, behind lists of any length. */
  private propertyAt(property: number, { element }: Layout, view: DataView, start: number): number {
    let at = start;
    for (let i = 0; i < property; i++) {
      const { bytes, countType } = element.properties[i]!;
      if (countType === undefined) at += bytes;
      else {
        const countBytes = sizeOf(countType);
        if (at + countBytes > view.byteLength) return Number.POSITIVE_INFINITY;
        const count = scalarAt(view, at, countType, this.little);
        if (!(count >= 0 && count <= longestList)) throw plyBadCount(this.whereAt(at), count);
        at += countBytes + count * bytes;
      }
    }
    return at;
  }

  private readVertex(layout: Layout, view: DataView, start: number): void {
    const { point } = this;
    for (let axis = 0; axis < 3; axis++) {
      const property = layout.axes[axis]!;
      const offset = layout.offsets[property]!;
      const at = offset >= 0 ? start + offset : this.propertyAt(property, layout, view, start);
      const value = scalarAt(view, at, layout.element.properties[property]!.type, this.little);
      if (!(value <= largestCoordinate && value >= -largestCoordinate)) {
        throw badCoordinate(value, `${this.whereAt(at)}, vertex ${this.done}`);
      }
      point[axis] = value;
    }
    this.faces.addVertex(point[0]!, point[1]!, point[2]!);
  }

  private readFace(layout: Layout, view: DataView, start: number): void {
    const { faces, little } = this;
    const { bytes, countType, type } = layout.element.properties[layout.indices]!;
    const offset = layout.offsets[layout.indices]!;
    let at = offset >= 0 ? start + offset : this.propertyAt(layout.indices, layout, view, start);
    const corners = scalarAt(view, at, countType!, little);
    if (corners < 3) throw plyFaceShort(`${this.whereAt(at)}, face ${this.done}`, corners);
    at += sizeOf(countType!);
    for (let corner = 0; corner < corners; corner++, at += bytes) {
      const index = scalarAt(view, at, type, little);
      if (!(index >= 0 && index < faces.vertices)) {
        throw plyBadIndex(`${this.whereAt(at)}, face ${this.done}`, index, faces.vertices);
      }
      faces.addCorner(index);
    }
    faces.endFace();
  }

  private checkBlank(bytes: Uint8Array, from: number): void {
    for (let at = from; at < bytes.length; at++) if (!isBlank(bytes[at]!)) throw plyBytesBehind(this.whereAt(at));
  }

  /** @param at from the beginning of the bytes that are being read */
  private whereAt(at: number): string {
    return `byte ${this.position + at}`;
  }
}

/** How an element's records are laid out. */
interface Layout {
  readonly element: PlyElement;
  readonly role: 'vertex' | 'face' | 'other';
  /** Length of a record; -1 where it holds a list. */
  readonly bytes: number;
  /** Per property, where it begins in the record; -1 behind a list. */
  readonly offsets: readonly number[];
  /** Which properties are x, y and z. */
  readonly axes: readonly number[];
  /** Which property lists a face's vertices. */
  readonly indices: number;
}

function layoutOf(element: PlyElement): Layout {
  const { name, properties } = element;
  const offsets: number[] = [];
  let bytes = 0;
  for (const property of properties) {
    offsets.push(bytes);
    bytes = bytes < 0 || property.countType !== undefined ? -1 : bytes + property.bytes;
  }
  return {
    element,
    role: name === 'vertex' || name === 'face' ? name : 'other',
    bytes,
    offsets,
    axes: axes.map((axis) => properties.findIndex((property) => property.name === axis)),
    indices: properties.findIndex((property) => indexLists.includes(property.name)),
  };
}

function scalarAt(view: DataView, at: number, type: PlyType, little: boolean): number {
  switch (type) {
    case 'float':
      return view.getFloat32(at, little);
    case 'int':
      return view.getInt32(at, little);
    case 'uchar':
      return view.getUint8(at);
    case 'double':
      return view.getFloat64(at, little);
    case 'uint':
      return view.getUint32(at, little);
    case 'char':
      return view.getInt8(at);
    case 'short':
      return view.getInt16(at, little);
    case 'ushort':
      return view.getUint16(at, little);
  }
}
