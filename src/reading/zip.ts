import { Inflate } from 'fflate';
import { crc32 } from '../base/crc32.js';
import { Fault } from '../base/fault.js';
import { UnpackedSize } from './unpacked-size.js';

const sliceBytes = 2 ** 15;

interface ZipEntry {
  readonly name: string;
  readonly offset: number;
  readonly packed: number;
  readonly unpacked: number;
  readonly crc: number;
  readonly method: number;
  readonly encrypted: boolean;
}

/**
 * A zip archive in memory (APPNOTE 6.3, zip64 included). Its directory at the end says what it holds; nothing is
 * unpacked until it is asked for, and then in small pieces, up to what a mesh can be.
 */
export class ZipArchive {
  private readonly entries = new Map<string, ZipEntry>();
  private readonly view: DataView;
  private readonly size = new UnpackedSize();

  constructor(private readonly bytes: Uint8Array) {
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    try {
      this.readDirectory();
    } catch (error) {
      throw error instanceof RangeError ? damaged('its directory is not whole') : error;
    }
  }

  /** @param path from the archive's root, in any case, with or without a leading slash */
  has(path: string): boolean {
    return this.entries.has(keyOf(path));
  }

  /**
   * Unpacks one file, piece by piece. The pieces are only lent.
   * @throws Fault where it is damaged, encrypted or far too large
   */
  unpack(path: string, consume: (piece: Uint8Array) => void): void {
    const entry = this.entries.get(keyOf(path));
    if (entry === undefined) throw damaged(`it holds no file ${path}`);
    if (entry.encrypted || (entry.method !== 0 && entry.method !== 8)) {
      throw new Fault({
        code: entry.encrypted ? 'zip-encrypted' : 'zip-method',
        where: entry.name,
        message: entry.encrypted ? 'The archive is encrypted.' : 'The archive is packed by a method that is not read.',
        remedy: 'Export the mesh again, without a password and with the usual compression.',
      });
    }
    let crc = 0;
    let unpacked = 0;
    const take = (piece: Uint8Array) => {
      crc = crc32(piece, crc);
      unpacked += piece.length;
      this.size.addUnpacked(piece.length);
      consume(piece);
    };
    this.size.addPacked(entry.packed);
    const data = this.dataOf(entry);
    if (entry.method === 0) {
      for (let at = 0; at < data.length; at += sliceBytes) take(data.subarray(at, at + sliceBytes));
    } else inflate(data, take, entry.name);
    if (crc !== entry.crc || unpacked !== entry.unpacked) throw damaged('a check sum does not fit', entry.name);
  }

  private dataOf({ name, offset, packed }: ZipEntry): Uint8Array {
    const { bytes, view } = this;
    if (offset + 30 > bytes.length || view.getUint32(offset, true) !== 0x04034b50)
      throw damaged('a file is missing', name);
    const start = offset + 30 + view.getUint16(offset + 26, true) + view.getUint16(offset + 28, true);
    if (start + packed > bytes.length) throw damaged('it ends too early', name);
    return bytes.subarray(start, start + packed);
  }

  private readDirectory(): void {
    const { view } = this;
    const { count, offset } = this.findDirectory();
    for (let i = 0, at = offset; i < count; i++) {
      if (view.getUint32(at, true) !== 0x02014b50) throw damaged('its directory is not whole');
      const [nameBytes, extraBytes, commentBytes] = [28, 30, 32].map((field) => view.getUint16(at + field, true)) as [
        number,
        number,
        number,
      ];
      const wide = this.wideFields(at, at + 46 + nameBytes, extraBytes);
      const name = new TextDecoder().decode(this.bytes.subarray(at + 46, at + 46 + nameBytes));
      const key = keyOf(name);
      if (this.entries.has(key)) throw damaged('it holds two files of one name', name);
      this.entries.set(key, {
        name,
        ...wide,
        crc: view.getUint32(at + 16, true),
        method: view.getUint16(at + 10, true),
        encrypted: (view.getUint16(at + 8, true) & 1) !== 0,
      });
      at += 46 + nameBytes + extraBytes + commentBytes;
    }
  }

  /** Sizes and place of an entry; where they do not fit into 32 bits, they stand in its zip64 field, in this order. */
  private wideFields(
    at: number,
    extra: number,
    extraBytes: number,
  ): { unpacked: number; packed: number; offset: number } {
    const { view } = this;
    const fields = { unpacked: 24, packed: 20, offset: 42 };
    let wideAt = -1;
    for (let field = extra; field + 4 <= extra + extraBytes; field += 4 + view.getUint16(field + 2, true)) {
      if (view.getUint16(field, true) === 1) wideAt = field + 4;
    }
    const read = (place: number) => {
      const value = view.getUint32(at + place, true);
      if (value !== 0xffffffff || wideAt < 0) return value;
      wideAt += 8;
      return Number(view.getBigUint64(wideAt - 8, true));
    };
    return { unpacked: read(fields.unpacked), packed: read(fields.packed), offset: read(fields.offset) };
  }

  private findDirectory(): { count: number; offset: number } {
    const { view } = this;
    // The end record has 22 bytes and a comment of at most 65,535 behind it.
    const first = Math.max(0, view.byteLength - 22 - 65535);
    for (let at = view.byteLength - 22; at >= first; at--) {
      if (view.getUint32(at, true) !== 0x06054b50) continue;
      const [count, offset] = [view.getUint16(at + 10, true), view.getUint32(at + 16, true)];
      if (at < 20 || view.getUint32(at - 20, true) !== 0x07064b50) return { count, offset };
      const wide = Number(view.getBigUint64(at - 12, true));
      if (view.getUint32(wide, true) !== 0x06064b50) throw damaged('its directory is not whole');
      return { count: Number(view.getBigUint64(wide + 32, true)), offset: Number(view.getBigUint64(wide + 48, true)) };
    }
    throw damaged('it ends too early');
  }
}

function inflate(data: Uint8Array, take: (piece: Uint8Array) => void, name: string): void {
  const inflater = new Inflate((piece) => take(piece));
  try {
    for (let at = 0; at < data.length; at += sliceBytes) {
      inflater.push(data.subarray(at, at + sliceBytes), at + sliceBytes >= data.length);
    }
  } catch (error) {
    if (error instanceof Error && !(error instanceof Fault) && 'code' in error)
      throw damaged('a file is not whole', name);
    throw error;
  }
}

/** Names of package parts are equal in any case (ECMA-376-2, part names). */
function keyOf(path: string): string {
  return path.replace(/^\/+/, '').toLowerCase();
}

function damaged(why: string, where?: string): Fault {
  return new Fault({
    code: 'zip-damaged',
    ...(where === undefined ? {} : { where }),
    message: `The archive is damaged: ${why}.`,
    remedy: 'Copy or export the file again.',
  });
}
