import type { Fault } from '../base/fault.js';
import type { WrittenPrecision } from './coordinate-step.js';
import { badCoordinate, badNumber, largestCoordinate } from './faults.js';

const lineFeed = 10;
const carriageReturn = 13;
const backslash = 92;

/** Powers of ten that float64 holds exactly: with a mantissa under 2^53, one operation then rounds correctly. */
const exactPowers = Float64Array.from({ length: 23 }, (_, n) => Number(`1e${n}`));

/**
 * (high * lift + low) / divisor, correctly rounded, or NaN where that is too close to call. All four are exact; the
 * quotient is found as a sum of two numbers (Dekker 1971), good to about 100 bits.
 */
function longDecimal(high: number, low: number, lift: number, divisor: number): number {
  const product = high * lift;
  const sum = product + low;
  const rest = productRest(high, lift, product) + (low - (sum - product));
  const quotient = sum / divisor;
  const back = quotient * divisor;
  const correction = (sum - back - productRest(quotient, divisor, back) + rest) / divisor;
  const slack = Math.abs(correction) * 2 ** -40;
  const value = quotient + (correction + slack);
  return value === quotient + (correction - slack) ? value : Number.NaN;
}

/** What a product lost to rounding, exactly. */
function productRest(a: number, b: number, product: number): number {
  const aScaled = a * 134217729;
  const aHigh = aScaled - (aScaled - a);
  const aLow = a - aHigh;
  const bScaled = b * 134217729;
  const bHigh = bScaled - (bScaled - b);
  const bLow = b - bHigh;
  return aLow * bLow - (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow);
}

/** Walks over a block of text, byte by byte, and reads words and numbers where it stands. */
export class TextCursor {
  bytes: Uint8Array = new Uint8Array(0);
  at = 0;
  /** Lines begun before this place, so the number of the line it stands in. */
  line = 1;

  constructor(private readonly precision: WrittenPrecision) {}

  enter(block: Uint8Array): void {
    this.bytes = block;
    this.at = 0;
  }

  get where(): string {
    return `line ${this.line}`;
  }

  /** Skips white space and line ends; false at the end of the block. */
  skipSpace(): boolean {
    const { bytes } = this;
    let at = this.at;
    for (; at < bytes.length; at++) {
      const byte = bytes[at]!;
      if (byte > 32) break;
      if (byte === lineFeed || (byte === carriageReturn && bytes[at + 1] !== lineFeed)) this.line++;
    }
    this.at = at;
    return at < bytes.length;
  }

  /** Skips blanks within the line, over a `\` at its end too; false at the end of the line. */
  skipBlanks(): boolean {
    const { bytes } = this;
    for (;;) {
      const byte = bytes[this.at];
      if (byte === undefined || byte === lineFeed || byte === carriageReturn) return false;
      if (byte === backslash && this.endsLineAt(this.at + 1)) {
        this.at += 1;
        this.endLine();
      } else if (byte <= 32) this.at++;
      else return true;
    }
  }

  /** Goes to the beginning of the next line, over the lines that a `\` joins to this one. */
  skipLine(): void {
    const { bytes } = this;
    let at = this.at;
    for (; at < bytes.length; at++) {
      const byte = bytes[at]!;
      if (byte !== lineFeed && byte !== carriageReturn) continue;
      this.at = at;
      const goesOn = at > 0 && bytes[at - 1] === backslash;
      this.endLine();
      if (!goesOn) return;
      at = this.at - 1;
    }
    this.at = at;
  }

  /** Goes to the end of this line, whatever it says. */
  skipToLineEnd(): void {
    const { bytes } = this;
    let at = this.at;
    while (at < bytes.length && bytes[at] !== lineFeed && bytes[at] !== carriageReturn) at++;
    this.at = at;
  }

  /** The word at this place; the cursor goes behind it. */
  word(): string {
    const start = this.at;
    this.skipWord();
    return latin1(this.bytes, start, this.at);
  }

  /** Is this the word at this place, in any case? If so, the cursor goes behind it. */
  takeKeyword(word: Uint8Array): boolean {
    const { at, bytes } = this;
    for (let i = 0; i < word.length; i++) if ((bytes[at + i]! | 32) !== word[i]) return false;
    if (bytes[at + word.length]! > 32) return false;
    this.at = at + word.length;
    return true;
  }

  skipWord(): void {
    const { bytes } = this;
    while (this.at < bytes.length && bytes[this.at]! > 32) this.at++;
  }

  /** The rest of the line without the blanks around it, as UTF-8; the cursor goes to the line's end. */
  restOfLine(): string {
    const { bytes } = this;
    const start = this.at;
    this.skipToLineEnd();
    return new TextDecoder().decode(bytes.subarray(start, Math.min(this.at, start + 1024))).trim();
  }

  /** A coordinate at this place, finite and of a size that a plate can have; its precision is noted. */
  coordinate(): number {
    const { bytes } = this;
    const start = this.at;
    let at = start;
    let byte = bytes[at]!;
    const negative = byte === 45;
    if (negative || byte === 43) byte = bytes[++at]!;
    // The first 15 significant digits, and those behind them: both are exact in float64.
    let high = 0;
    let low = 0;
    let digits = 0;
    let decimals = 0;
    let exponent = 0;
    const firstDigit = at;
    for (; byte >= 48 && byte <= 57; byte = bytes[++at]!) {
      if (digits < 15) high = 10 * high + (byte - 48);
      else low = 10 * low + (byte - 48);
      if (digits > 0 || byte !== 48) digits++;
    }
    let count = at - firstDigit;
    if (byte === 46) {
      const point = at;
      byte = bytes[++at]!;
      for (; byte >= 48 && byte <= 57; byte = bytes[++at]!) {
        if (digits < 15) high = 10 * high + (byte - 48);
        else low = 10 * low + (byte - 48);
        if (digits > 0 || byte !== 48) digits++;
      }
      decimals = at - point - 1;
      count += decimals;
    }
    if (count > 0 && (byte === 101 || byte === 69)) {
      byte = bytes[++at]!;
      const negativeExponent = byte === 45;
      if (negativeExponent || byte === 43) byte = bytes[++at]!;
      const firstOfExponent = at;
      for (; byte >= 48 && byte <= 57; byte = bytes[++at]!) exponent = Math.min(9999, 10 * exponent + (byte - 48));
      if (at === firstOfExponent) count = 0;
      if (negativeExponent) exponent = -exponent;
      this.precision.fewestDecimals = -1;
    }
    if (count === 0 || byte > 32) throw this.notANumber(start);
    this.at = at;
    const power = exponent - decimals;
    let value = Number.NaN;
    if (digits <= 15 && power >= -22 && power <= 22) {
      value = power < 0 ? high / exactPowers[-power]! : high * exactPowers[power]!;
    } else if (digits <= 22 && power >= -22 && power <= 0) {
      value = longDecimal(high, low, exactPowers[digits - 15]!, exactPowers[-power]!);
    }
    if (Number.isNaN(value)) value = Number(latin1(bytes, start, at));
    else if (negative) value = -value;
    if (!(value <= largestCoordinate && value >= -largestCoordinate)) throw badCoordinate(value, this.where);
    const { precision } = this;
    if (digits > precision.digits) precision.digits = digits;
    if (decimals > precision.mostDecimals) precision.mostDecimals = decimals;
    if (decimals < precision.fewestDecimals) precision.fewestDecimals = decimals;
    return value;
  }

  /** A whole number at this place, with a sign or without. */
  whole(): number {
    const { bytes } = this;
    const start = this.at;
    let at = start;
    const negative = bytes[at] === 45;
    if (negative || bytes[at] === 43) at++;
    const firstDigit = at;
    let value = 0;
    for (let byte = bytes[at]!; byte >= 48 && byte <= 57; byte = bytes[++at]!) value = 10 * value + (byte - 48);
    if (at === firstDigit || bytes[at]! > 32) throw this.notANumber(start);
    this.at = at;
    return negative ? -value : value;
  }

  private notANumber(start: number): Fault {
    this.at = start;
    return badNumber(this.word(), this.where);
  }

  private endsLineAt(at: number): boolean {
    const byte = this.bytes[at];
    return byte === undefined || byte === lineFeed || byte === carriageReturn;
  }

  /** Behind the line end at this place, if there is one. */
  private endLine(): void {
    const byte = this.bytes[this.at];
    if (byte === undefined) return;
    this.at++;
    if (byte === carriageReturn && this.bytes[this.at] === lineFeed) this.at++;
    this.line++;
  }
}

/** A keyword as `takeKeyword` wants it: lower-case letters. */
export function keyword(word: string): Uint8Array {
  return Uint8Array.from(word, (letter) => letter.charCodeAt(0));
}

/** Characters 0 to 255 that stand for bytes, decoded as UTF-8. */
export function utf8(bytes: string): string {
  return new TextDecoder().decode(Uint8Array.from(bytes, (byte) => byte.charCodeAt(0)));
}

export function latin1(bytes: Uint8Array, start: number, end: number): string {
  let text = '';
  for (let at = start; at < end; at++) text += String.fromCharCode(bytes[at]!);
  return text;
}
