import { plainText } from '../base/plain-text.js';

/** A name as it stands in a sentence: visible, in quotes, cut where it is long. */
export function nameQuoted(name: string): string {
  const letters = [...name];
  return `'${plainText(letters.slice(0, 40).join(''))}${letters.length > 40 ? '…' : ''}'`;
}

/** `cavity 3`, `cavities 3, 5 and 8`. */
export function cavitiesCalled(cavities: readonly { readonly number: number }[]): string {
  return `${cavities.length === 1 ? 'cavity' : 'cavities'} ${listed(cavities.map(({ number }) => String(number)))}`;
}

export function capital(text: string): string {
  return text[0]!.toUpperCase() + text.slice(1);
}

/** A list in a sentence, no longer than eight entries. */
export function listed(words: readonly string[]): string {
  const shown = words.slice(0, 8);
  const rest = words.length - shown.length;
  const last = rest > 0 ? `${rest} more` : shown.pop()!;
  return shown.length > 0 ? `${shown.join(', ')} and ${last}` : last;
}
