import { Fault } from '../base/fault.js';
import { Float32Weld } from '../mesh/float32-weld.js';
import { float32Step, largestMagnitude } from './coordinate-step.js';
import { badCoordinate, isBlank, largestCoordinate, noTriangles } from './faults.js';
import type { Head, MeshFormat, MeshParser, ParsedMesh, Recognition } from './format.js';

const headerBytes = 84;
const recordBytes = 50;
const normalBytes = 12;

/**
 * Binary STL: 80 bytes of anything, a count, then 50 bytes a triangle: normal, three corners (float32, little-endian)
 * and two bytes of attribute. The normal is not read: the corners' order says the same, and files disagree with theirs.
 */
export const stlBinary: MeshFormat = {
  recognise(head: Head): Recognition {
    if (head.bytes.length < headerBytes) return 'no';
    const count = countOf(head.bytes);
    if (count > 0 && head.byteLength === headerBytes + recordBytes * count) return 'certain';
    if (head.isText) return 'no';
    if (head.byteLength === headerBytes) return count === 0 ? 'likely' : 'possible';
    return firstRecordsArePlausible(head.bytes) ? 'likely' : 'no';
  },
  open: (head) => new StlBinaryParser(countOf(head.bytes), head.byteLength),
};

function countOf(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true);
}

/** Do the first records, as far as they are there, hold numbers that can be coordinates? */
function firstRecordsArePlausible(bytes: Uint8Array): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const records = Math.min(countOf(bytes) || 20, 20);
  const end = Math.min(bytes.length, headerBytes + records * recordBytes);
  let numbers = 0;
  let plausible = 0;
  for (let record = headerBytes; record < end; record += recordBytes) {
    for (let at = record + 12; at < record + 48 && at + 4 <= end; at += 4) {
      const magnitude = Math.abs(view.getFloat32(at, true));
      if (magnitude === 0 || (magnitude > 1e-12 && magnitude < largestCoordinate)) plausible++;
      numbers++;
    }
  }
  // One broken coordinate is to be named as such, so a few may be; of random bits one in four is plausible.
  return plausible > 0.9 * numbers;
}

class StlBinaryParser implements MeshParser {
  private readonly weld: Float32Weld;
  /** Bytes taken so far. */
  private position = 0;
  private triangles = 0;
  private readonly partial = new Uint8Array(recordBytes);
  private partialBytes = 0;
  private trailerBytes = 0;
  private trailerIsBlank = true;

  constructor(
    private readonly count: number,
    byteLength: number | undefined,
  ) {
    if (byteLength !== undefined && byteLength < headerBytes + recordBytes * count) {
      throw tooFew(count, byteLength - headerBytes);
    }
    // Only a size that is known to be there may decide how much memory is taken.
    this.weld = new Float32Weld(byteLength === undefined ? 1024 : count);
  }

  push(bytes: Uint8Array): void {
    let at = Math.min(bytes.length, Math.max(0, headerBytes - this.position));
    this.position += at;
    if (this.partialBytes > 0 && this.triangles < this.count) {
      const missing = bytes.subarray(at, at + recordBytes - this.partialBytes);
      this.partial.set(missing, this.partialBytes);
      this.partialBytes += missing.length;
      at += missing.length;
      if (this.partialBytes < recordBytes) return;
      this.addRecords(this.partial, 0, 1);
      this.partialBytes = 0;
    }
    const whole = Math.min(Math.floor((bytes.length - at) / recordBytes), this.count - this.triangles);
    this.addRecords(bytes, at, whole);
    at += whole * recordBytes;
    if (this.triangles < this.count) {
      this.partialBytes = bytes.length - at;
      this.partial.set(bytes.subarray(at));
      return;
    }
    this.trailerBytes += bytes.length - at;
    for (; at < bytes.length && this.trailerIsBlank; at++) this.trailerIsBlank = isBlank(bytes[at]!);
  }

  finish(): ParsedMesh {
    if (this.triangles < this.count) throw tooFew(this.count, recordBytes * this.triangles + this.partialBytes);
    this.checkTrailer();
    if (this.triangles === 0) throw noTriangles();
    const mesh = this.weld.take();
    return {
      fileFormat: 'stl-binary',
      trianglesInFile: this.triangles,
      coordinateStep: float32Step(largestMagnitude(mesh.positions)),
      mesh,
    };
  }

  private addRecords(bytes: Uint8Array, start: number, records: number): void {
    if (records === 0) return;
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    const first = start + normalBytes;
    const done = this.weld.addTriangles(view, first, recordBytes, records, largestCoordinate);
    if (done < records) throw badCorner(view, first + done * recordBytes, this.triangles + done);
    this.triangles += records;
  }

  /**
   * Customary behind the triangles: less than a triangle of anything, or any length of zeros or white space. More can
   * only be triangles that the count does not admit, or another file.
   */
  private checkTrailer(): void {
    if (this.trailerBytes < recordBytes || this.trailerIsBlank) return;
    const where = `byte ${headerBytes + recordBytes * this.count}`;
    if (this.count === 0) {
      throw new Fault({
        code: 'stl-count-zero',
        where: 'byte 80',
        message: `The count says 0 triangles, but ${this.trailerBytes} bytes follow.`,
        remedy: 'The program that wrote the file did not finish it; export the mesh again.',
      });
    }
    if (this.trailerBytes % recordBytes === 0) {
      throw new Fault({
        code: 'stl-count-too-small',
        where: 'byte 80',
        message: `The count says ${this.count} triangles, but ${this.count + this.trailerBytes / recordBytes} are there.`,
        remedy: 'Export the mesh again.',
      });
    }
    throw new Fault({
      code: 'stl-bytes-behind',
      where,
      message: `${this.trailerBytes} bytes that are no triangles follow the last of ${this.count} triangles.`,
      remedy: 'Export the mesh again, as one body in one file.',
    });
  }
}

/** @param at of the triangle's first corner */
function badCorner(view: DataView, at: number, triangle: number): Fault {
  let number = 0;
  while (Math.abs(view.getFloat32(at + 4 * number, true)) <= largestCoordinate) number++;
  const offset = headerBytes + recordBytes * triangle + normalBytes + 4 * number;
  return badCoordinate(view.getFloat32(at + 4 * number, true), `byte ${offset}, triangle ${triangle + 1}`);
}

/** @param bytesBehind how many bytes follow the header */
function tooFew(count: number, bytesBehind: number): Fault {
  const there = Math.floor(bytesBehind / recordBytes);
  if (bytesBehind % recordBytes === 0) {
    return new Fault({
      code: 'stl-count-too-large',
      where: 'byte 80',
      message: `The count says ${count} triangles, but the file holds ${there}.`,
      remedy: 'Copy or export the file again.',
    });
  }
  return new Fault({
    code: 'stl-cut-short',
    where: `byte ${headerBytes + bytesBehind}`,
    message: `The file ends inside triangle ${there + 1} of ${count}.`,
    remedy: 'Copy or export the file again.',
  });
}
