import { Fault } from '../base/fault.js';
import { GrowingUint32 } from '../base/growing.js';
import { Weld } from '../mesh/weld.js';
import { largestMagnitude, WrittenPrecision } from './coordinate-step.js';
import { noTriangles, shown } from './faults.js';
import type { Head, MeshFormat, MeshParser, ParsedMesh, Recognition } from './format.js';
import { ObjectNames } from './names.js';
import { TextBlocks } from './text-blocks.js';
import { keyword, TextCursor, utf8 } from './text-cursor.js';

/**
 * ASCII STL: one or more `solid NAME … endsolid NAME`, in them facets of three vertices. Words in any case, any white
 * space between them. Normals must be there but are not read: the corners' order says the same.
 */
export const stlAscii: MeshFormat = {
  recognise(head: Head): Recognition {
    if (/^\s*solid\b[^\r\n]*[\r\n\s]\s*(facet\s+normal|endsolid)\b/i.test(head.text.slice(0, 4096))) return 'likely';
    return head.isText && /^\s*solid(\s|$)/i.test(head.text) ? 'likely' : 'no';
  },
  open: () => new StlAsciiParser(),
};

/** Where in the grammar the parser stands: what the next word must be. */
const at = {
  outside: 0,
  name: 1,
  nameOrFacet: 2,
  endName: 3,
  inSolid: 4,
  normal: 5,
  normalX: 6,
  normalY: 7,
  normalZ: 8,
  outer: 9,
  loop: 10,
  vertex: 11,
  x: 12,
  y: 13,
  z: 14,
  endloop: 15,
  endfacet: 16,
} as const;

const expectedAt: Partial<Record<number, string>> = {
  [at.outside]: 'solid',
  [at.inSolid]: 'facet',
  [at.normal]: 'normal',
  [at.outer]: 'outer',
  [at.loop]: 'loop',
  [at.vertex]: 'vertex',
  [at.endloop]: 'endloop',
  [at.endfacet]: 'endfacet',
};

const longestName = 200;

class StlAsciiParser implements MeshParser {
  private readonly blocks = new TextBlocks('space', (block) => this.consume(block));
  private readonly precision = new WrittenPrecision();
  private readonly cursor = new TextCursor(this.precision);
  private readonly weld = new Weld();
  private readonly corners = new GrowingUint32();
  private readonly names = new ObjectNames();
  private state: number = at.outside;
  private name = '';
  /** Line of the last `solid` or `endsolid`: the rest of it is a name. */
  private nameLine = 0;
  private vertices = 0;
  private x = 0;
  private y = 0;

  push(bytes: Uint8Array): void {
    this.blocks.push(bytes);
  }

  finish(): ParsedMesh {
    this.blocks.finish();
    const { corners, cursor, state, weld } = this;
    if (state !== at.outside && state !== at.endName) {
      throw new Fault({
        code: 'stl-ascii-cut-short',
        where: cursor.where,
        message: state === at.inSolid ? 'The text ends without "endsolid".' : 'The text ends in the middle of a solid.',
        remedy: 'Copy or export the file again.',
      });
    }
    const triangles = corners.take();
    if (triangles.length === 0) throw noTriangles();
    const positions = weld.takePositions();
    return {
      fileFormat: 'stl-ascii',
      trianglesInFile: triangles.length / 3,
      coordinateStep: this.precision.stepAt(largestMagnitude(positions)),
      mesh: { positions, triangles, ...this.names.take() },
    };
  }

  private consume(block: Uint8Array): void {
    const { cursor } = this;
    cursor.enter(block);
    while (cursor.skipSpace()) {
      switch (this.state) {
        case at.vertex:
          this.expect(keywords.vertex, at.x);
          break;
        case at.x:
          this.x = cursor.coordinate();
          this.state = at.y;
          break;
        case at.y:
          this.y = cursor.coordinate();
          this.state = at.z;
          break;
        case at.z:
          this.corners.push(this.weld.add(this.x, this.y, cursor.coordinate()));
          this.state = ++this.vertices === 3 ? at.endloop : at.vertex;
          break;
        case at.endloop:
          this.expect(keywords.endloop, at.endfacet);
          break;
        case at.endfacet:
          this.expect(keywords.endfacet, at.inSolid);
          this.names.addTriangle();
          break;
        case at.inSolid:
          if (cursor.takeKeyword(keywords.endsolid)) this.beginName(at.endName);
          else this.expect(keywords.facet, at.normal);
          break;
        case at.normal:
          this.expect(keywords.normal, at.normalX);
          break;
        case at.normalX:
        case at.normalY:
        case at.normalZ:
          this.skipNormal();
          break;
        case at.outer:
          this.expect(keywords.outer, at.loop);
          break;
        case at.loop:
          this.expect(keywords.loop, at.vertex);
          this.vertices = 0;
          break;
        case at.outside:
          this.expect(keywords.solid, at.name);
          this.beginName(at.name);
          break;
        default:
          this.readName();
      }
    }
  }

  private expect(keyword: Uint8Array, next: number): void {
    if (!this.cursor.takeKeyword(keyword)) throw this.unexpected();
    this.state = next;
  }

  /** Some programs write `nan` for the normal of a triangle without area; any number will do, as it is not used. */
  private skipNormal(): void {
    const first = this.cursor.bytes[this.cursor.at]! | 32;
    const begins = (first >= 48 && first <= 57) || first === 45 || first === 43 || first === 46;
    if (!begins && first !== 110 && first !== 105) throw this.unexpected();
    this.cursor.skipWord();
    this.state++;
  }

  private beginName(state: number): void {
    this.name = '';
    this.nameLine = this.cursor.line;
    this.state = state;
  }

  /**
   * The name runs to the end of its line. In a text that is all one line it ends at `facet normal`.
   */
  private readName(): void {
    const { cursor } = this;
    if (cursor.line !== this.nameLine) {
      if (this.state === at.nameOrFacet) this.addToName('facet');
      this.state = this.state === at.endName ? at.outside : this.endName(at.inSolid);
      return;
    }
    const word = cursor.word();
    if (this.state === at.endName) return;
    if (this.state === at.nameOrFacet) {
      if (word.toLowerCase() === 'normal') {
        this.state = this.endName(at.normalX);
        return;
      }
      this.addToName('facet');
      this.state = at.name;
    }
    if (word.toLowerCase() === 'facet') this.state = at.nameOrFacet;
    else this.addToName(word);
  }

  private addToName(word: string): void {
    if (this.name.length < longestName) this.name += this.name === '' ? word : ` ${word}`;
  }

  private endName(next: number): number {
    this.names.begin(utf8(this.name));
    return next;
  }

  private unexpected(): Fault {
    const { cursor, state } = this;
    const { where } = cursor;
    const found = cursor.word();
    const moreVertices = state === at.endloop && found.toLowerCase() === 'vertex';
    const fewerVertices = state === at.vertex && found.toLowerCase() === 'endloop';
    if (moreVertices || fewerVertices) {
      return new Fault({
        code: 'stl-facet-corners',
        where,
        message: `The facet has ${moreVertices ? 'more' : 'fewer'} than three vertices.`,
        remedy: 'Triangulate the mesh in the program it came from, and export it again.',
      });
    }
    return new Fault({
      code: 'stl-unexpected-word',
      where,
      message: `"${shown(found)}" stands where ${expectedAt[state] === undefined ? 'a number' : `"${expectedAt[state]}"`} should.`,
      remedy: 'Export the mesh again, as binary STL if the program can.',
    });
  }
}

const keywords = {
  solid: keyword('solid'),
  endsolid: keyword('endsolid'),
  facet: keyword('facet'),
  normal: keyword('normal'),
  outer: keyword('outer'),
  loop: keyword('loop'),
  vertex: keyword('vertex'),
  endloop: keyword('endloop'),
  endfacet: keyword('endfacet'),
};
