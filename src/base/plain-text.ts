/**
 * Names in a file are written by whoever made the file. Shown as they are, they could move the cursor, recolour the
 * terminal or turn the figures beside them round. Everything that is not plain visible text is shown as its escape.
 */

/** Control and format characters, line separators, lone surrogates, unassigned and private ones. */
const unseen = /[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Cn}\p{Zl}\p{Zp}\u115f\u1160\u2800\u3164\uffa0]/gu;
/** No script stacks more than a few marks on a letter; a longer pile would run into the lines above and below. */
const piledMarks = /(\p{M}{4})\p{M}+/gu;
const short: Record<string, string> = { '\t': '\\t', '\n': '\\n', '\r': '\\r' };

/** The text with every control, direction and invisible character replaced by a visible escape: `\u{202e}`. */
export function plainText(text: string): string {
  return text
    .replace(unseen, (char) => short[char] ?? `\\u{${char.codePointAt(0)?.toString(16)}}`)
    .replace(piledMarks, '$1\u2026');
}
