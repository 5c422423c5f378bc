/** How a text screen may stress a line. Colour repeats what the words already say and never stands alone. */
export interface Paint {
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
  readonly stop: (text: string) => string;
  readonly caution: (text: string) => string;
  readonly note: (text: string) => string;
}

const plain = (text: string): string => text;
/** For pipes, files and screens without colour. */
export const noPaint: Paint = { strong: plain, faint: plain, stop: plain, caution: plain, note: plain };

const sgr = (code: string) => (text: string) => `\u001b[${code}m${text}\u001b[0m`;
/** Rust, ochre and slate: told apart in every common form of colour blindness, readable on black and on white. */
export const colourPaint: Paint = {
  strong: sgr('1'),
  faint: sgr('2'),
  stop: sgr('1;38;5;130'),
  caution: sgr('38;5;136'),
  note: sgr('38;5;67'),
};
