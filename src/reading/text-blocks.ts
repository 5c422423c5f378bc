import { Fault } from '../base/fault.js';

/** No word or line of a mesh is longer; one that is would be kept in memory whole. */
const longestPiece = 2 ** 24;

const lineFeed = 10;
const carriageReturn = 13;
const backslash = 92;

/** Where a text may be cut: behind a line, unless `\` carries it on, or behind any white space. */
export type CutAt = 'line' | 'space';

/**
 * Cuts a stream of bytes into blocks that end at a line's end or at white space, so that a parser never sees half of
 * one. Most of a chunk is handed on as it is, not copied; only the pieces astride two chunks are put together.
 * A CR LF pair is never cut.
 */
export class TextBlocks {
  private carry = new Uint8Array(256);
  private carried = 0;
  private started = false;

  constructor(
    private readonly cutAt: CutAt,
    private readonly consume: (block: Uint8Array) => void,
  ) {}

  push(bytes: Uint8Array): void {
    let from = 0;
    if (this.carried > 0) {
      while (!this.isCut(bytes, from)) {
        if (from++ < bytes.length) continue;
        this.keep(bytes);
        return;
      }
      this.keep(bytes.subarray(0, from));
      this.flush();
    }
    let to = bytes.length;
    while (to > from && !this.isCut(bytes, to)) to--;
    if (to > from) this.emit(bytes.subarray(from, to));
    this.keep(bytes.subarray(to));
  }

  finish(): void {
    if (this.carried > 0) this.flush();
  }

  /** May the text be cut before `bytes[at]`, or behind all of them? Behind a CR, the next byte must be known. */
  private isCut(bytes: Uint8Array, at: number): boolean {
    const before = this.byteAt(bytes, at - 1);
    if (before > 32 || (before === carriageReturn && (at === bytes.length || bytes[at] === lineFeed))) return false;
    if (this.cutAt === 'space') return true;
    if (before !== lineFeed && before !== carriageReturn) return false;
    let ahead = this.byteAt(bytes, at - 2);
    if (before === lineFeed && ahead === carriageReturn) ahead = this.byteAt(bytes, at - 3);
    return ahead !== backslash;
  }

  private byteAt(bytes: Uint8Array, at: number): number {
    if (at >= 0) return bytes[at]!;
    return this.carried + at >= 0 ? this.carry[this.carried + at]! : 255;
  }

  private keep(bytes: Uint8Array): void {
    const needed = this.carried + bytes.length;
    if (needed > longestPiece) {
      throw new Fault({
        code: 'line-too-long',
        message: `A line or word is longer than ${longestPiece / 2 ** 20} MB.`,
        remedy: 'Export the mesh again, as binary STL if the program can.',
      });
    }
    if (needed > this.carry.length) {
      const larger = new Uint8Array(2 * needed);
      larger.set(this.carry.subarray(0, this.carried));
      this.carry = larger;
    }
    this.carry.set(bytes, this.carried);
    this.carried = needed;
  }

  private flush(): void {
    const block = this.carry.subarray(0, this.carried);
    this.carried = 0;
    this.emit(block);
  }

  private emit(block: Uint8Array): void {
    const marked = !this.started && block[0] === 0xef && block[1] === 0xbb && block[2] === 0xbf;
    this.started = true;
    this.consume(marked ? block.subarray(3) : block);
  }
}
