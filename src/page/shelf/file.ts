import { readShelf, type Shelf } from '../../fill/shelf/shelf.js';
import { readYaml } from '../../fill/shelf/yaml-text.js';
import { shownFault } from '../mix/plan.js';
import type { ShelfFile, ShownFault } from '../state.js';

/** A shelf as text that every reader of shelves takes: JSON, which is YAML too. */
export function shelfText(file: ShelfFile): string {
  return `${JSON.stringify(file, null, 2)}\n`;
}

/** What the forms hold, understood; or what is wrong with it, with the place. */
export function understandShelf(file: ShelfFile): { shelf: Shelf | null; fault: ShownFault | null } {
  try {
    return { shelf: readShelf(shelfText(file)), fault: null };
  } catch (error) {
    return { shelf: null, fault: shownFault(error) };
  }
}

/** A shelf file that was opened. @throws Fault `shelf-…` with line and key */
export function openShelf(text: string): ShelfFile {
  readShelf(text);
  return readYaml(text, 'shelf').value as ShelfFile;
}

export type Entry = Readonly<Record<string, unknown>>;

/** The entries of a group; what is no list of records counts as none. */
export function entriesOf(holder: Readonly<Record<string, unknown>> | null, key: string): readonly Entry[] {
  const list: unknown = holder?.[key];
  if (!Array.isArray(list)) return [];
  return list.filter((entry): entry is Entry => typeof entry === 'object' && entry !== null);
}

/** A copy with another value under a key; empty text takes the key away. */
export function withValue(entry: Entry, key: string, value: unknown): Entry {
  if (value !== '' && value !== undefined) return { ...entry, [key]: value };
  const { [key]: _, ...rest } = entry;
  return rest;
}

/** A price or a count of drops is a number in the file; everything else stays as the person typed it. */
const numeric = new Set(['price', 'drops']);

export function typedValue(key: string, text: string): unknown {
  const value = Number(text.replace(',', '.'));
  return numeric.has(key) && text.trim() !== '' && Number.isFinite(value) ? value : text;
}
