/** Left and right as the wearer has them, not as the person in front sees them. */
export type WearerSide = 'left' | 'right';

const words = new Map<string, WearerSide>([
  ['left', 'left'],
  ['right', 'right'],
  ['l', 'left'],
  ['r', 'right'],
]);

/** A side as it is written in a column of its own: left, right, l, r. */
export function sideWord(text: string): WearerSide | undefined {
  return words.get(text.trim().toLowerCase());
}

/**
 * The side a name carries: `brow left`, `brow-l`, `Left ear 2`, `browR`. A single letter counts only as the first or the
 * last word. null where there is none, or both.
 */
export function sideOf(name: string): WearerSide | null {
  const parts = name
    .normalize('NFC')
    .replace(/(\p{Ll})(\p{Lu})/gu, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}\p{M}\p{N}]+/u)
    .map((part) => part.replace(/\d+$/, ''))
    .filter((part) => part !== '');
  const found = new Set<WearerSide>();
  for (const [i, part] of parts.entries()) {
    const side = words.get(part);
    if (side === undefined) continue;
    // An L-shaped scar has no side.
    if (part.length === 1 && ((i > 0 && i < parts.length - 1) || parts[i + 1]?.startsWith('shape'))) continue;
    found.add(side);
  }
  return found.size === 1 ? [...found][0]! : null;
}
