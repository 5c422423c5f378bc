import { plainText } from '../base/plain-text.js';

/** A piece of HTML that may stand in a page as it is. Made by `html` alone, so that no text gets in unescaped. */
export class Html {
  constructor(readonly text: string) {}
}

export type HtmlValue = Html | string | number | readonly HtmlValue[] | null | undefined | false;

const entities: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

/** Text as HTML and SVG show it: tags, quotes and ampersands as characters, control and direction marks as escapes. */
export function escapeHtml(text: string): string {
  return plainText(text).replace(/[&<>"']/g, (char) => entities[char]!);
}

function show(value: HtmlValue): string {
  if (value === null || value === undefined || value === false) return '';
  if (value instanceof Html) return value.text;
  if (Array.isArray(value)) return value.map(show).join('');
  return escapeHtml(String(value));
}

/** HTML or SVG from a template: what stands in the template is kept, what is put in is escaped. */
export function html(parts: TemplateStringsArray, ...values: readonly HtmlValue[]): Html {
  return new Html(parts.reduce((text, part, index) => text + show(values[index - 1]) + part));
}

/** The first `most` characters of a name that runs on and on. */
export function shortName(name: string, most: number): string {
  // Half a surrogate pair at the cut would show as an escape.
  const characters = Array.from(name.slice(0, 2 * most + 2));
  return characters.length > most ? `${characters.slice(0, most - 1).join('')}\u2026` : name;
}

/** A name from a file: shown as text, isolated from its neighbours' direction, cut where it runs on and on. */
export function nameHtml(name: string, most = 60): Html {
  return html`<bdi>${shortName(name, most)}</bdi>`;
}
