import { plainText } from '../base/plain-text.js';
import { shortName } from '../sheet/html.js';

type Child = Node | string | number | null | undefined | false | readonly Child[];
type Listener = (event: never) => void;
/** Attributes; `on…` are listeners, `true` an attribute without a value, `false` and undefined none. */
export type Attributes = Readonly<Record<string, string | number | boolean | undefined | Listener>>;

const svgNames = new Set(['svg', 'path', 'rect', 'circle', 'text', 'g', 'defs', 'pattern', 'line', 'title', 'use']);

function append(parent: Element, child: Child): void {
  if (child === null || child === undefined || child === false) return;
  if (Array.isArray(child)) for (const each of child) append(parent, each);
  else parent.append(child instanceof Node ? child : String(child));
}

/** An element of the page. Text is always put in as text, never as markup: names come from strangers' files. */
export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes?: Attributes,
  ...children: Child[]
): HTMLElementTagNameMap[K];
export function el(tag: string, attributes?: Attributes, ...children: Child[]): Element;
export function el(tag: string, attributes: Attributes = {}, ...children: Child[]): Element {
  const element = svgNames.has(tag)
    ? document.createElementNS('http://www.w3.org/2000/svg', tag)
    : document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === 'function') element.addEventListener(name.slice(2), value as EventListener);
    else if (value !== undefined && value !== false) element.setAttribute(name, value === true ? '' : String(value));
  }
  for (const child of children) append(element, child);
  return element;
}

/** Puts other children in the place of an element's own. */
export function fill(parent: Element, ...children: Child[]): void {
  parent.replaceChildren();
  for (const child of children) append(parent, child);
}

/** A name from a file, as text of its own direction, cut where it runs on and on. */
export function nameText(name: string, most = 80): HTMLElement {
  return el('bdi', {}, plainText(shortName(name, most)));
}

let made = 0;
/** An id that no other element has. */
export function newId(word: string): string {
  made += 1;
  return `${word}-${made}`;
}
