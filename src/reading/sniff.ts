import { Fault } from '../base/fault.js';
import { shown } from './faults.js';
import { type Head, headBytes, type MeshFormat, type MeshParser, type ParsedMesh, type Recognition } from './format.js';

/**
 * A parser for a file of a format not yet known: keeps the first bytes until they suffice to tell it, then hands all to
 * that format's own parser. Size and content decide, never the file's name.
 */
export class SniffingParser implements MeshParser {
  private readonly kept: Uint8Array[] = [];
  private keptBytes = 0;
  private parser: MeshParser | undefined;

  /** @param depth how many wrappings this one is inside of */
  constructor(
    private readonly formats: readonly MeshFormat[],
    private readonly byteLength: number | undefined,
    private readonly depth = 0,
  ) {}

  push(bytes: Uint8Array): void {
    if (this.parser !== undefined) {
      this.parser.push(bytes);
      return;
    }
    const enough = headBytes - this.keptBytes;
    const head = bytes.subarray(0, enough);
    this.kept.push(head.slice());
    this.keptBytes += head.length;
    if (this.keptBytes < headBytes) return;
    this.recognise().push(bytes.subarray(enough));
  }

  finish(): ParsedMesh {
    return (this.parser ?? this.recognise()).finish();
  }

  private recognise(): MeshParser {
    const head = headOf(joined(this.kept, this.keptBytes), this.byteLength);
    const format = bestFormat(this.formats, head);
    const openInner = () => {
      if (this.depth >= 2) {
        throw new Fault({
          code: 'wrapped-too-deep',
          message: 'The file is compressed more than twice over.',
          remedy: 'Unpack it and read the mesh inside.',
        });
      }
      return new SniffingParser(this.formats, undefined, this.depth + 1);
    };
    this.parser = format.open(head, openInner);
    this.parser.push(head.bytes);
    this.kept.length = 0;
    return this.parser;
  }
}

function joined(parts: readonly Uint8Array[], length: number): Uint8Array {
  const whole = new Uint8Array(length);
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

export function headOf(bytes: Uint8Array, byteLength: number | undefined): Head {
  const marked = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf;
  const text = new TextDecoder('latin1').decode(marked ? bytes.subarray(3) : bytes);
  return { bytes, byteLength, isText: bytes.every(isTextByte), text };
}

/** Tab, line feed, vertical tab, form feed, carriage return, printable ASCII, and anything over it. */
function isTextByte(byte: number): boolean {
  return byte >= 32 ? byte !== 127 : byte >= 9 && byte <= 13;
}

const sureness: Record<Recognition, number> = { certain: 3, likely: 2, possible: 1, no: 0 };

/** @throws Fault where no format wants the file */
export function bestFormat(formats: readonly MeshFormat[], head: Head): MeshFormat {
  if (head.bytes.length === 0) {
    throw new Fault({ code: 'file-empty', message: 'The file is empty.', remedy: 'Export the mesh again.' });
  }
  let best: MeshFormat | undefined;
  let bestSureness = 0;
  for (const format of formats) {
    const sure = sureness[format.recognise(head)];
    if (sure > bestSureness) {
      best = format;
      bestSureness = sure;
    }
  }
  if (best !== undefined) return best;
  const { bytes } = head;
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) {
    throw new Fault({
      code: 'text-utf16',
      message: 'The file is text in UTF-16.',
      remedy: 'Save it as UTF-8 or plain ASCII text, or export the mesh as binary STL.',
    });
  }
  throw head.isText ? notMeshText(head.text) : notMesh(head);
}

function notMeshText(text: string): Fault {
  const start = text.trimStart().slice(0, 30).replace(/\s+/g, ' ');
  return new Fault({
    code: 'text-not-mesh',
    message:
      start === ''
        ? 'The file holds nothing but blanks.'
        : `The file holds text, but none of a mesh; it begins with "${shown(start)}".`,
    remedy: 'Export the mesh as STL, OBJ, PLY or 3MF.',
  });
}

function notMesh(head: Head): Fault {
  // U+FFFD in UTF-8: what is put for a byte that is no character, when bytes are taken for text.
  if (head.text.split('\u00ef\u00bf\u00bd').length > 4) {
    return new Fault({
      code: 'mangled-as-text',
      message: 'The file was taken for text on its way here, and lost bytes by it.',
      remedy: 'Copy it again as a binary file, or packed in a zip.',
    });
  }
  const short = head.bytes.length < 84;
  return new Fault({
    code: short ? 'file-too-short' : 'not-a-mesh',
    message: short
      ? `The file has only ${head.bytes.length} bytes; a mesh needs more.`
      : 'The file holds none of the mesh formats that can be read.',
    remedy: short ? 'Export the mesh again.' : 'Export the mesh as STL, OBJ, PLY or 3MF.',
  });
}
