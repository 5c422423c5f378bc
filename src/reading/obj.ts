import { Fault } from '../base/fault.js';
import { largestMagnitude, WrittenPrecision } from './coordinate-step.js';
import { noTriangles, shown } from './faults.js';
import type { Head, MeshFormat, MeshParser, ParsedMesh, Recognition } from './format.js';
import { IndexedFaces } from './indexed-faces.js';
import { TextBlocks } from './text-blocks.js';
import { TextCursor } from './text-cursor.js';

/** Statements that carry no surface: lines and points, texture, shading, and curves that only a `surf` would use. */
const ignored = new Set(
  'vt vn vp s l p mtllib usemtl maplib usemap mg lod bevel c_interp d_interp shadow_obj trace_obj cstype deg bmat step ctech stech parm trim hole scrv sp end con curv curv2 res'.split(
    ' ',
  ),
);
const curved = new Set(['surf', 'bzp', 'bsp', 'cdc', 'cdp']);
const references = new Set(['call', 'csh']);

/** Wavefront OBJ: vertices, and polygons of any size that refer to them. No unit; materials are not followed. */
export const obj: MeshFormat = {
  recognise(head: Head): Recognition {
    if (!head.isText) return 'no';
    const [, word] = /^(?:\s*#[^\r\n]*[\r\n])*\s*([^\s#]\S*)/.exec(head.text) ?? [];
    const known = word === undefined || ignored.has(word) || ['v', 'f', 'o', 'g'].includes(word);
    const hasVertex = /(^|[\r\n])[ \t]*v[ \t]+[-+.\dni]/i.test(head.text);
    if (known && hasVertex) return 'likely';
    const isComment = word === undefined && /^\s*#/.test(head.text);
    return hasVertex || isComment || (known && word !== undefined) ? 'possible' : 'no';
  },
  open: () => new ObjParser(),
};

class ObjParser implements MeshParser {
  private readonly blocks = new TextBlocks('line', (block) => this.consume(block));
  private readonly precision = new WrittenPrecision();
  private readonly cursor = new TextCursor(this.precision);
  private readonly faces = new IndexedFaces();

  push(bytes: Uint8Array): void {
    this.blocks.push(bytes);
  }

  finish(): ParsedMesh {
    this.blocks.finish();
    const mesh = this.faces.finish();
    if (mesh.triangles.length === 0) throw noTriangles();
    return {
      fileFormat: 'obj',
      trianglesInFile: mesh.triangles.length / 3,
      coordinateStep: this.precision.stepAt(largestMagnitude(mesh.positions)),
      mesh,
    };
  }

  private consume(block: Uint8Array): void {
    const { cursor } = this;
    cursor.enter(block);
    while (cursor.skipSpace()) {
      const first = block[cursor.at];
      const isOneLetter = !(block[cursor.at + 1]! > 32);
      if (first === letterV && isOneLetter) this.readVertex();
      else if (first === letterF && isOneLetter) this.readFace();
      else if (first === hash) {
        // A comment that ends in `\` (a folder's name, say) does not carry on: what follows could be a vertex.
        cursor.skipToLineEnd();
        continue;
      } else {
        const word = cursor.word();
        if (word === 'o' || word === 'g') this.faces.names.begin(cursor.restOfLine());
        else if (!ignored.has(word)) throw unreadableStatement(word, cursor.where);
      }
      cursor.skipLine();
    }
  }

  private readVertex(): void {
    const { cursor } = this;
    cursor.at++;
    const x = this.nextCoordinate();
    const y = this.nextCoordinate();
    this.faces.addVertex(x, y, this.nextCoordinate());
  }

  private nextCoordinate(): number {
    if (this.cursor.skipBlanks()) return this.cursor.coordinate();
    throw new Fault({
      code: 'obj-vertex-short',
      where: this.cursor.where,
      message: 'A vertex has fewer than three coordinates.',
      remedy: 'Copy or export the file again.',
    });
  }

  private readFace(): void {
    const { cursor, faces } = this;
    const { where } = cursor;
    cursor.at++;
    while (cursor.skipBlanks()) faces.addCorner(this.readIndex());
    const corners = faces.endFace();
    if (corners < 3) {
      throw new Fault({
        code: 'obj-face-short',
        where,
        message: `A face has ${corners} corners; it needs three or more.`,
        remedy: 'Copy or export the file again.',
      });
    }
  }

  /** A corner: `v`, `v/t`, `v//n` or `v/t/n`, counted from 1, or backwards from -1. Only v is used. */
  private readIndex(): number {
    const { bytes } = this.cursor;
    const start = this.cursor.at;
    let at = start;
    const backwards = bytes[at] === minus;
    if (backwards) at++;
    let index = 0;
    const firstDigit = at;
    for (let byte = bytes[at]!; byte >= digit0 && byte <= digit9; byte = bytes[++at]!)
      index = 10 * index + byte - digit0;
    const hasDigits = at > firstDigit;
    for (let byte = bytes[at]!; byte === slash || byte === minus || (byte >= digit0 && byte <= digit9); )
      byte = bytes[++at]!;
    const vertices = this.faces.vertices;
    const found = backwards ? vertices - index : index - 1;
    if (!hasDigits || bytes[at]! > 32 || index === 0 || !(found >= 0 && found < vertices)) {
      throw this.badIndex(hasDigits && !(bytes[at]! > 32));
    }
    this.cursor.at = at;
    return found;
  }

  private badIndex(isNumber: boolean): Fault {
    const { where } = this.cursor;
    const word = shown(this.cursor.word());
    const vertices = this.faces.vertices;
    return new Fault({
      code: isNumber ? 'obj-bad-index' : 'obj-index-unreadable',
      where,
      message: isNumber
        ? `A face refers to vertex ${word}, but ${vertices} vertices stand before it.`
        : `"${word}" stands where the number of a vertex should.`,
      remedy: 'Copy or export the file again.',
    });
  }
}

const hash = 35;
const minus = 45;
const slash = 47;
const digit0 = 48;
const digit9 = 57;
const letterF = 102;
const letterV = 118;

function unreadableStatement(word: string, where: string): Fault {
  if (curved.has(word)) {
    return new Fault({
      code: 'obj-curved-surface',
      where,
      message: `The file holds a curved surface ("${shown(word)}"), not only flat faces.`,
      remedy: 'Export the body as a mesh (triangles or polygons).',
    });
  }
  if (references.has(word)) {
    return new Fault({
      code: 'obj-reference',
      where,
      message: `The file wants another file or a command ("${shown(word)}"); those are not followed.`,
      remedy: 'Export the whole mesh into one file.',
    });
  }
  return new Fault({
    code: 'obj-unknown-statement',
    where,
    message: `"${shown(word)}" is no statement of an OBJ file.`,
    remedy: 'Copy or export the file again.',
  });
}
