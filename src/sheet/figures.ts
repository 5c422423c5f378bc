/** Numbers as a person reads them. What does not exist or cannot be trusted is a dash, never a zero. */
export const noFigure = '\u2013';

/** A number with a fixed count of decimals; no minus before a zero. */
export function fixed(value: number | null | undefined, decimals: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return noFigure;
  const text = value.toFixed(decimals);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

/** Half the width of a range, as it stands behind its figure: `±0.4`. Rounded up, so that the range never shrinks. */
export function plusMinus(value: number | null | undefined, decimals: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return noFigure;
  const step = 10 ** decimals;
  return `±${(Math.ceil(Math.abs(value) * step - 1e-9) / step).toFixed(decimals)}`;
}
