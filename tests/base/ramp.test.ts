import { describe, expect, it } from 'vitest';
import { alarmColour, hexColour, rampColour, roundTop } from '../../src/base/ramp.js';

type Rgb = readonly [number, number, number];

/** sRGB to linear light, IEC 61966-2-1. */
const linear = (part: number): number => {
  const share = part / 255;
  return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
};

/** CIE 1976 L*a*b* under D65 from linear sRGB (matrix of IEC 61966-2-1, formula of CIE 15). */
function lab(rgb: Rgb): [number, number, number] {
  const [r, g, b] = rgb;
  const f = (t: number): number => (t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29);
  const x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505);
  const y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
  const z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

/**
 * Colour sight without one kind of cone, severity 1: Machado, Oliveira, Fernandes 2009, A physiologically-based model
 * for simulation of color vision deficiency, table 1; values from memory. Applied to linear light.
 */
const sights: Record<string, readonly (readonly [number, number, number])[]> = {
  usual: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritan: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

function seen(colour: Rgb, sight: readonly (readonly [number, number, number])[]): [number, number, number] {
  const light = colour.map(linear) as unknown as Rgb;
  return lab(sight.map((row) => Math.max(0, row[0] * light[0] + row[1] * light[1] + row[2] * light[2])) as never);
}

describe.each(Object.entries(sights))('the ramp to %s sight', (_name, sight) => {
  const steps = Array.from({ length: 17 }, (_, i) => seen(rampColour(i / 16), sight));

  it('grows lighter at every step, by much the same', () => {
    const rises = steps.slice(1).map((step, i) => step[0] - steps[i]![0]);
    expect(Math.min(...rises)).toBeGreaterThan(3);
    expect(Math.max(...rises)).toBeLessThan(8);
  });

  it('keeps the colour of an alarm apart from all of itself', () => {
    const alarm = seen(alarmColour, sight);
    const nearest = Math.min(...steps.map((step) => Math.hypot(...step.map((part, k) => part - alarm[k]!))));
    // A difference of 10 in CIE 1976 units is seen at a glance; 2.3 is just noticeable (Mahy et al. 1994, from memory).
    expect(nearest).toBeGreaterThan(10);
  });
});

describe('the ends of the ramp', () => {
  it('hold what lies outside', () => {
    expect(rampColour(-3)).toEqual(rampColour(0));
    expect(rampColour(7)).toEqual(rampColour(1));
    expect(hexColour(rampColour(0))).toBe('#0c184e');
  });
});

describe('the round number a scale ends with', () => {
  it.each([
    [0.37, 0.4],
    [1, 1],
    [5.2, 6],
    [9.1, 10],
    [61, 80],
    [0, 1],
    [Number.NaN, 1],
  ])('%d ends at %d', (value, top) => expect(roundTop(value)).toBe(top));
});
