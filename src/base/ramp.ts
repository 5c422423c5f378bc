/**
 * The colours that a measure is shown in: from ink (least) over slate and stone to straw (most). Lightness climbs evenly
 * in OKLab, so the order shows on a grey printer and to every kind of colour sight; there is no red and no green in it.
 */
const stops: readonly (readonly [number, number, number])[] = [
  [0x0c, 0x18, 0x4e],
  [0x13, 0x34, 0x66],
  [0x1d, 0x4f, 0x7e],
  [0x44, 0x6a, 0x8c],
  [0x68, 0x84, 0x99],
  [0x99, 0x9d, 0x94],
  [0xc9, 0xb5, 0x8c],
  [0xe3, 0xd3, 0xa8],
  [0xfe, 0xf2, 0xc5],
];

/** Colour for what lies under a limit, always together with hatching: burnt orange, far from all of the ramp. */
export const alarmColour: readonly [number, number, number] = [0xd9, 0x5a, 0x11];

/**
 * The colour at a place along the ramp.
 * @param share 0 (least) to 1 (most); what lies outside is held to the ends
 * @returns red, green, blue, each a whole number 0 to 255, sRGB
 */
export function rampColour(share: number): [number, number, number] {
  const place = Math.min(1, Math.max(0, share)) * (stops.length - 1);
  const index = Math.min(stops.length - 2, Math.floor(place));
  const from = stops[index]!;
  const to = stops[index + 1]!;
  const mix = (k: 0 | 1 | 2): number => Math.round(from[k] + (to[k] - from[k]) * (place - index));
  return [mix(0), mix(1), mix(2)];
}

/** A colour as SVG and CSS write it: `#0c184e`. */
export function hexColour([red, green, blue]: readonly [number, number, number]): string {
  return `#${[red, green, blue].map((part) => part.toString(16).padStart(2, '0')).join('')}`;
}

/** A round number at or above `value`, to end a scale with: 1, 1.5, 2, 3, 4, 5, 6, 8 times a power of ten. */
export function roundTop(value: number): number {
  if (!(value > 0) || !Number.isFinite(value)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  const step = [1, 1.5, 2, 3, 4, 5, 6, 8, 10].find((candidate) => candidate * power >= value * (1 - 1e-9)) ?? 10;
  return Number((step * power).toPrecision(3));
}
