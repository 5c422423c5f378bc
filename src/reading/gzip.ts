import { Gunzip } from 'fflate';
import { crc32 } from '../base/crc32.js';
import { Fault } from '../base/fault.js';
import type { Head, MeshFormat, MeshParser, ParsedMesh, Recognition } from './format.js';
import { UnpackedSize } from './unpacked-size.js';

/** Deflate makes at most 1,032 bytes of one: what is unpacked at once stays small. */
const sliceBytes = 2 ** 15;

/** A mesh file compressed by gzip (RFC 1952); what is inside is recognised by its content. */
export const gzip: MeshFormat = {
  recognise: ({ bytes }: Head): Recognition =>
    bytes[0] === 0x1f && bytes[1] === 0x8b && bytes[2] === 8 ? 'likely' : 'no',
  open: (_, openInner) => new GzipParser(openInner()),
};

class GzipParser implements MeshParser {
  private readonly gunzip = new Gunzip((bytes) => this.take(bytes));
  private readonly size = new UnpackedSize();
  private crc = 0;
  /** The last eight bytes so far: at the end, the sum and the size that the file states. */
  private readonly tail = new Uint8Array(8);

  constructor(private readonly inner: MeshParser) {
    this.gunzip.onmember = () => {
      throw new Fault({
        code: 'gzip-several',
        message: 'Several compressed files stand in one, behind each other.',
        remedy: 'Unpack it, and read the mesh inside.',
      });
    };
  }

  push(bytes: Uint8Array): void {
    for (let at = 0; at < bytes.length; at += sliceBytes) {
      // A copy, because the unpacker keeps what it cannot use yet.
      const slice = bytes.slice(at, at + sliceBytes);
      this.size.addPacked(slice.length);
      this.unpack(slice, false);
      const kept = slice.subarray(-8);
      this.tail.copyWithin(0, kept.length);
      this.tail.set(kept, 8 - kept.length);
    }
  }

  finish(): ParsedMesh {
    this.unpack(new Uint8Array(0), true);
    const stated = new DataView(this.tail.buffer);
    if (stated.getUint32(0, true) !== this.crc || stated.getUint32(4, true) !== this.size.unpacked % 2 ** 32) {
      throw damaged();
    }
    return insideOf('unpacked', () => this.inner.finish());
  }

  private take(bytes: Uint8Array): void {
    this.size.addUnpacked(bytes.length);
    this.crc = crc32(bytes, this.crc);
    insideOf('unpacked', () => this.inner.push(bytes));
  }

  private unpack(bytes: Uint8Array, last: boolean): void {
    try {
      this.gunzip.push(bytes, last);
    } catch (error) {
      if (error instanceof Fault || error instanceof RangeError) throw error;
      throw damaged();
    }
  }
}

/** Runs a step on what was packed, so that a fault says which bytes or lines it counts. */
export function insideOf<T>(what: string, step: () => T): T {
  try {
    return step();
  } catch (error) {
    if (!(error instanceof Fault) || error.where === undefined || error.where.startsWith(what)) throw error;
    const { code, message, kind, remedy, where } = error;
    throw new Fault({ code, message, kind, where: `${what}, ${where}`, ...(remedy === undefined ? {} : { remedy }) });
  }
}

function damaged(): Fault {
  return new Fault({
    code: 'gzip-damaged',
    message: 'The compressed file is damaged or cut short: its check sum does not fit.',
    remedy: 'Copy or export the file again.',
  });
}
