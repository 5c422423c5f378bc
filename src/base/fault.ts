/**
 * A fault: why a file, an option or a plan cannot be used. It is written for the person at the bench:
 * what is wrong, where, and what to do. Every kind of fault has its own stable code.
 */
export type FaultKind = 'usage' | 'input';

export interface FaultDetails {
  /** Stable, kebab-case, one a kind of fault: `stl-cut-short`. */
  readonly code: string;
  /** One sentence: what is wrong. */
  readonly message: string;
  /** Where in the file: `byte 1284`, `line 17`, `line 4, key density`. */
  readonly where?: string;
  /** One sentence: what to do about it. */
  readonly remedy?: string;
  /** The file's name as the user gave it; filled in by whoever knows it. */
  readonly file?: string;
  /** `usage` ends in exit status 1, `input` in 2. */
  readonly kind?: FaultKind;
}

export class Fault extends Error {
  readonly code: string;
  readonly where: string | undefined;
  readonly remedy: string | undefined;
  readonly kind: FaultKind;
  file: string | undefined;

  constructor(details: FaultDetails) {
    super(details.message);
    this.name = 'Fault';
    this.code = details.code;
    this.where = details.where;
    this.remedy = details.remedy;
    this.file = details.file;
    this.kind = details.kind ?? 'input';
  }

  /** As plain data, which can go from one thread to another. */
  toDetails(): FaultDetails {
    const { code, message, where, remedy, file, kind } = this;
    return { code, message, kind, ...(where && { where }), ...(remedy && { remedy }), ...(file && { file }) };
  }

  /** The one line shown to a person: file, place, what is wrong, what to do, code. */
  toLine(): string {
    const place = [this.file, this.where].filter((part) => part !== undefined).join(', ');
    const remedy = this.remedy === undefined ? '' : ` ${this.remedy}`;
    return `${place === '' ? '' : `${place}: `}${this.message}${remedy} [${this.code}]`;
  }
}
