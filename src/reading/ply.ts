import { Fault } from '../base/fault.js';
import { float32Step, largestMagnitude, WrittenPrecision } from './coordinate-step.js';
import { noTriangles } from './faults.js';
import type { Head, MeshFormat, MeshParser, ParsedMesh, Recognition } from './format.js';
import { IndexedFaces } from './indexed-faces.js';
import { PlyAsciiBody } from './ply-ascii.js';
import { PlyBinaryBody } from './ply-binary.js';
import { axes, isWhole, type PlyBody, type PlyElement, type PlyHeader, readPlyHeader } from './ply-header.js';

const longestHeader = 2 ** 20;

/** PLY (Turk 1994): text or binary of either byte order, polygons of any size, any further properties and elements. */
export const ply: MeshFormat = {
  recognise: (head: Head): Recognition => (/^ply[\r\n]/.test(head.text) ? 'likely' : 'no'),
  open: (head) => new PlyParser(head.byteLength),
};

class PlyParser implements MeshParser {
  private readonly faces = new IndexedFaces();
  private readonly precision = new WrittenPrecision();
  private start = new Uint8Array(0);
  private header: PlyHeader | undefined;
  private body: PlyBody | undefined;

  constructor(private readonly byteLength: number | undefined) {}

  push(bytes: Uint8Array): void {
    if (this.body !== undefined) {
      this.body.push(bytes);
      return;
    }
    const start = new Uint8Array(this.start.length + bytes.length);
    start.set(this.start);
    start.set(bytes, this.start.length);
    this.start = start;
    this.header = readPlyHeader(start);
    if (this.header === undefined) {
      if (start.length > longestHeader) throw noEndOfHeader();
      return;
    }
    const { encoding } = this.header;
    if (this.byteLength !== undefined) checkSize(this.header, this.byteLength);
    this.body =
      encoding === 'ascii'
        ? new PlyAsciiBody(this.header, this.faces, this.precision)
        : new PlyBinaryBody(this.header, this.faces);
    this.body.push(start.subarray(this.header.bytes));
    this.start = new Uint8Array(0);
  }

  finish(): ParsedMesh {
    if (this.body === undefined || this.header === undefined) throw noEndOfHeader();
    this.body.finish();
    const mesh = this.faces.finish();
    if (mesh.triangles.length === 0) throw noTriangles();
    return {
      fileFormat: 'ply',
      trianglesInFile: mesh.triangles.length / 3,
      coordinateStep: this.stepAt(this.header, largestMagnitude(mesh.positions)),
      mesh,
    };
  }

  private stepAt(header: PlyHeader, magnitude: number): number {
    if (header.encoding === 'ascii') return this.precision.stepAt(magnitude);
    const vertex = header.elements.find(({ name }) => name === 'vertex')!;
    const types = vertex.properties
      .filter(({ name }) => (axes as readonly string[]).includes(name))
      .map(({ type }) => type);
    if (types.some(isWhole)) return 1;
    return types.includes('float') ? float32Step(magnitude) : float32Step(magnitude) * 2 ** -29;
  }
}

/** Refuses a header that promises more than the file can hold, before anything is made of it. */
function checkSize(header: PlyHeader, byteLength: number): void {
  const least = header.elements.reduce((sum, element) => sum + element.count * leastBytes(element, header), 0);
  // The last number of a text needs no blank behind it.
  if (header.bytes + least > byteLength + (header.encoding === 'ascii' ? 1 : 0)) {
    throw new Fault({
      code: 'ply-cut-short',
      where: `byte ${byteLength}`,
      message: 'The file ends before all the elements that its header counts.',
      remedy: 'Copy or export the file again.',
    });
  }
}

function leastBytes({ properties }: PlyElement, { encoding }: PlyHeader): number {
  if (encoding === 'ascii') return 2 * properties.length;
  return properties.reduce((sum, { bytes, countType }) => sum + (countType === undefined ? bytes : 1), 0);
}

function noEndOfHeader(): Fault {
  return new Fault({
    code: 'ply-header',
    message: 'The header has no end ("end_header").',
    remedy: 'Copy or export the file again.',
  });
}
