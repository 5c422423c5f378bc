/** Number of single-letter edits between two words (Levenshtein 1966). */
export function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(change, row[j]! + 1, next[j - 1]! + 1));
    }
    row = next;
  }
  return row[b.length]!;
}

/**
 * The known name that was probably meant: fewest edits, at most a third of the word's length and at least 2, but 1 for
 * words of up to three letters, where two edits make any word of any other.
 */
export function closestName(word: string, known: readonly string[]): string | undefined {
  const limit = word.length <= 3 ? 1 : Math.max(2, word.length / 3);
  let best: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const name of known) {
    const edits = editDistance(word.toLowerCase(), name.toLowerCase());
    if (edits < least && edits <= limit) [best, least] = [name, edits];
  }
  return best;
}

/** What to do about an unknown name: the one that was probably meant, otherwise all that are known. */
export function suggestName(word: string, known: readonly string[]): string {
  const closest = closestName(word, known);
  return closest === undefined ? `Known: ${known.join('; ')}.` : `Did you mean '${closest}'?`;
}
