import { Fault } from '../base/fault.js';
import type { WrittenPrecision } from './coordinate-step.js';
import type { IndexedFaces } from './indexed-faces.js';
import { longestList, plyBadCount, plyBadIndex, plyBytesBehind, plyCutShort, plyFaceShort } from './ply-faults.js';
import { indexLists, type PlyBody, type PlyElement, type PlyHeader } from './ply-header.js';
import { TextBlocks } from './text-blocks.js';
import { TextCursor } from './text-cursor.js';

/** The body of a text PLY: one element a line. */
export class PlyAsciiBody implements PlyBody {
  private readonly blocks = new TextBlocks('line', (block) => this.consume(block));
  private readonly cursor: TextCursor;
  private readonly elements: readonly PlyElement[];
  /** The element whose lines are read now, and how many of them were. */
  private current = 0;
  private done = 0;
  private readonly point = new Float64Array(3);

  constructor(
    header: PlyHeader,
    private readonly faces: IndexedFaces,
    precision: WrittenPrecision,
  ) {
    this.elements = header.elements.filter(({ properties }) => properties.length > 0);
    this.cursor = new TextCursor(precision);
    this.cursor.line = header.lines + 1;
  }

  push(bytes: Uint8Array): void {
    this.blocks.push(bytes);
  }

  finish(): void {
    this.blocks.finish();
    this.skipFinished();
    const element = this.elements[this.current];
    if (element !== undefined) throw plyCutShort(this.cursor.where, element.name, this.done, element.count);
  }

  private consume(block: Uint8Array): void {
    const { cursor } = this;
    cursor.enter(block);
    while (cursor.skipSpace()) {
      this.skipFinished();
      const element = this.elements[this.current];
      if (element === undefined) throw plyBytesBehind(cursor.where);
      if (element.name === 'vertex') this.readVertex(element);
      else if (element.name === 'face') this.readFace(element);
      else this.skipElement(element);
      if (cursor.skipBlanks()) throw this.lineFault('more');
      this.done++;
    }
  }

  private skipFinished(): void {
    while (this.current < this.elements.length && this.done === this.elements[this.current]!.count) {
      this.current++;
      this.done = 0;
    }
  }

  private readVertex({ properties }: PlyElement): void {
    const { cursor, point } = this;
    for (const { name, countType } of properties) {
      const axis = name === 'x' ? 0 : name === 'y' ? 1 : name === 'z' ? 2 : -1;
      if (axis < 0) this.skipValues(countType === undefined ? 1 : this.readCount());
      else {
        if (!cursor.skipBlanks()) throw this.lineFault('fewer');
        point[axis] = cursor.coordinate();
      }
    }
    this.faces.addVertex(point[0]!, point[1]!, point[2]!);
  }

  private readFace({ properties }: PlyElement): void {
    const { cursor, faces } = this;
    for (const { name, countType } of properties) {
      const count = countType === undefined ? 1 : this.readCount();
      if (!indexLists.includes(name)) {
        this.skipValues(count);
        continue;
      }
      if (count < 3) throw plyFaceShort(cursor.where, count);
      for (let corner = 0; corner < count; corner++) {
        if (!cursor.skipBlanks()) throw this.lineFault('fewer');
        const index = cursor.whole();
        if (!(index >= 0 && index < faces.vertices)) throw plyBadIndex(cursor.where, index, faces.vertices);
        faces.addCorner(index);
      }
      faces.endFace();
    }
  }

  private skipElement({ properties }: PlyElement): void {
    for (const { countType } of properties) this.skipValues(countType === undefined ? 1 : this.readCount());
  }

  private readCount(): number {
    if (!this.cursor.skipBlanks()) throw this.lineFault('fewer');
    const count = this.cursor.whole();
    if (!(count >= 0 && count <= longestList)) throw plyBadCount(this.cursor.where, count);
    return count;
  }

  private skipValues(count: number): void {
    for (let i = 0; i < count; i++) {
      if (!this.cursor.skipBlanks()) throw this.lineFault('fewer');
      this.cursor.skipWord();
    }
  }

  private lineFault(than: 'more' | 'fewer'): Fault {
    const { bytes, at } = this.cursor;
    const element = this.elements[this.current]!;
    // Only the last line of a text may lack its end.
    if (at >= bytes.length) return plyCutShort(this.cursor.where, element.name, this.done, element.count);
    return new Fault({
      code: 'ply-line',
      where: this.cursor.where,
      message: `The line holds ${than} numbers than the header says.`,
      remedy: 'Copy or export the file again.',
    });
  }
}
