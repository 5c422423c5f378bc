import { isScalar, LineCounter, parseDocument, visit } from 'yaml';
import { Fault } from '../../base/fault.js';
import { type Path, Place } from '../shape.js';

const remedies: Partial<Record<string, string>> = {
  TAB_AS_INDENT: 'Indent with blanks, not with the tab key.',
  DUPLICATE_KEY: 'Keep one of the two.',
  BAD_INDENT: 'Put it under the key above it with two blanks more.',
  MISSING_CHAR: 'Close the quotes or the bracket.',
  MULTILINE_IMPLICIT_KEY: 'Put each key on a line of its own, and a colon and a blank behind it.',
  BLOCK_AS_IMPLICIT_KEY: 'Put a value that holds a colon into quotes.',
  MULTIPLE_DOCS: 'Keep one document: no line --- inside.',
};

/**
 * A YAML text (JSON is YAML too) as plain values, and the place that knows their lines.
 * @param kind first word of the fault codes: `shelf`, `plan`
 * @throws Fault `<kind>-yaml-…` with the line
 */
export function readYaml(text: string, kind: string): { value: unknown; place: Place } {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false });
  const [error] = [...document.errors, ...document.warnings];
  if (error !== undefined) {
    const { line } = lines.linePos(openQuote(document, error.message) ?? error.pos[0]);
    const source = text.split(/\r?\n/)[line - 1] ?? '';
    const tab = /^\s*\t/.test(source);
    throw new Fault({
      code: `${kind}-yaml-${(tab ? 'TAB_AS_INDENT' : error.code).toLowerCase().replaceAll('_', '-')}`,
      message: `The text cannot be read: ${error.message.split('\n')[0]}.`.replace(/\.\.$/, '.'),
      remedy: (tab ? remedies.TAB_AS_INDENT : remedyOf(error)) ?? 'Compare the line with its neighbours.',
      where: `line ${line}${keyOf(source)}`,
    });
  }
  const lineOf = (path: Path): number | undefined => {
    for (let length = path.length; length >= 0; length--) {
      const node = document.getIn(path.slice(0, length), true) as { range?: [number] } | undefined;
      if (node?.range !== undefined) return lines.linePos(node.range[0]).line;
    }
    return undefined;
  };
  if (document.contents === null) {
    const remedy =
      kind === 'shelf' ? 'Begin one with: plateful shelf init.' : 'Write the plan into it; see docs/plan.md.';
    throw new Fault({ code: `${kind}-empty`, message: 'The file holds nothing.', remedy, where: 'line 1' });
  }
  const place = new Place(kind, [], lineOf);
  visit(document, {
    Alias(_, alias) {
      if (alias.resolve(document) !== undefined) return;
      const { line } = lines.linePos(alias.range![0]);
      const where = `line ${line}${keyOf(text.split(/\r?\n/)[line - 1] ?? '')}`;
      const message = `Nothing is called *${alias.source} here.`;
      throw new Fault({
        code: `${kind}-yaml-alias`,
        message,
        remedy: 'Put a text that begins with * into quotes.',
        where,
      });
    },
  });
  return { value: plainValue(document, kind), place };
}

/** Where the quote begins that is never closed: the parser only notices at the end. */
function openQuote(document: ReturnType<typeof parseDocument>, message: string): number | undefined {
  if (!message.startsWith('Missing closing')) return undefined;
  let start: number | undefined;
  visit(document, {
    Scalar(_, node) {
      if (isScalar(node) && node.type?.startsWith('QUOTE')) start = node.range?.[0];
    },
  });
  return start;
}

function remedyOf({ code, message }: { code: string; message: string }): string | undefined {
  if (message.includes('without - indicator')) return 'Begin it under the first letter of the line above.';
  if (message.includes('end with a')) return 'Close the bracket that the line opens.';
  if (message.includes('followed by map values')) return 'Put a colon and a blank behind the key.';
  return remedies[code];
}

function keyOf(source: string): string {
  const [, key] = /^[\s-]*([^\s:#][^:#]{0,40}):/.exec(source) ?? [];
  return key === undefined ? '' : `, key ${key}`;
}

function plainValue(document: ReturnType<typeof parseDocument>, kind: string): unknown {
  try {
    return document.toJS({ maxAliasCount: 50 });
  } catch {
    throw new Fault({
      code: `${kind}-yaml-aliases`,
      message: 'The text repeats itself through aliases without end.',
      remedy: 'Write each entry out.',
    });
  }
}
