import { SaxesParser, type SaxesTagNS } from 'saxes';
import { Fault } from '../base/fault.js';

export type XmlTag = SaxesTagNS;

/** What a reader does with the elements of an XML part, in their order. */
export interface XmlHandler {
  /** @param line where the tag ends */
  open(tag: XmlTag, line: number): void;
  close?(tag: XmlTag, line: number): void;
}

/**
 * Takes an XML part's bytes as they come. UTF-8 or UTF-16, as packages allow; a document type is refused, and with it
 * every entity that a file could define.
 */
export class XmlReader {
  private readonly parser = new SaxesParser({ xmlns: true });
  private decoder: TextDecoder | undefined;

  constructor(
    private readonly part: string,
    handler: XmlHandler,
  ) {
    const { parser } = this;
    parser.on('error', (error) => {
      throw this.fault('xml-malformed', `The XML is not well formed (${error.message.replace(/^.*?: /, '')})`);
    });
    parser.on('doctype', () => {
      throw this.fault('xml-doctype', 'The XML holds a document type, which may not be');
    });
    parser.on('opentag', (tag) => handler.open(tag, parser.line));
    if (handler.close !== undefined) parser.on('closetag', (tag) => handler.close?.(tag, parser.line));
  }

  push(bytes: Uint8Array): void {
    this.decoder ??= new TextDecoder(encodingOf(bytes), { fatal: true });
    this.parser.write(this.decode(bytes, true));
  }

  finish(): void {
    this.parser.write(this.decode(new Uint8Array(0), false));
    this.parser.close();
  }

  private decode(bytes: Uint8Array, stream: boolean): string {
    try {
      return (this.decoder ??= new TextDecoder()).decode(bytes, { stream });
    } catch {
      throw this.fault('xml-malformed', 'The XML holds bytes that are no characters');
    }
  }

  private fault(code: string, message: string): Fault {
    const where = `${this.part}, line ${this.parser.line}`;
    return new Fault({ code, where, message: `${message}.`, remedy: 'Export the mesh again.' });
  }
}

function encodingOf(bytes: Uint8Array): string {
  const [first, second] = bytes;
  if ((first === 0xff && second === 0xfe) || (first === 60 && second === 0)) return 'utf-16le';
  return (first === 0xfe && second === 0xff) || (first === 0 && second === 60) ? 'utf-16be' : 'utf-8';
}
