import { describe, expect, it } from 'vitest';
import { Place } from '../../../src/fill/shape.js';
import { density } from '../../../src/fill/shelf/figure-readers.js';
import { type Dimension, inBaseUnit } from '../../../src/fill/shelf/units.js';
import { waterDensityGPerMl } from '../../../src/fill/shelf/water.js';
import { gramsPerOunce, mlPerUsFluidOunce } from '../../../src/sheet/display-units.js';

/** NIST SP 811, appendix B.8 and B.9; the exact values follow from the definitions of inch, pound and gallon. */
const nist: [Dimension, string, number][] = [
  ['mass', 'lb', 453.59237],
  ['mass', 'oz', 28.349523125],
  ['volume', 'US fl oz', 29.5735295625],
  ['volume', 'imp fl oz', 28.4130625],
  ['length', 'in', 25.4],
  ['length', 'mil', 0.0254],
];

describe('units as data sheets write them', () => {
  it.each(nist)('one of %s %s is %s (NIST SP 811)', (dimension, unit, value) => {
    expect(inBaseUnit(dimension, 1, unit)).toBeCloseTo(value, 12);
  });

  it('the seven digits printed in NIST SP 811 for lbf/in (N/m) and psi (Pa)', () => {
    expect(inBaseUnit('tear', 1, 'ppi')! * 1000).toBeCloseTo(175.126835246, 9);
    expect(inBaseUnit('stress', 1, 'psi')! * 1e6).toBeCloseTo(6894.757293168, 8);
  });

  it('100 ppi are 17.51268 kN/m, and kN/m is N/mm', () => {
    expect(inBaseUnit('tear', 100, 'ppi')).toBeCloseTo(17.51268, 5);
    expect(inBaseUnit('tear', 17, 'N/mm')).toBe(inBaseUnit('tear', 17, 'kN/m'));
  });

  it('10 ml at 1.10 g/ml are 11.0 g, 0.388014 oz', () => {
    expect((10 * 1.1) / gramsPerOunce).toBeCloseTo(0.388014, 6);
    expect(gramsPerOunce).toBe(inBaseUnit('mass', 1, 'oz'));
    expect(mlPerUsFluidOunce).toBeCloseTo(inBaseUnit('volume', 1, 'us fl oz')!, 12);
  });

  it('specific gravity counts water at 4 °C, 999.9720 kg/m³ (tables of water, to seven digits)', () => {
    expect(inBaseUnit('density', 1, 'SG')).toBeCloseTo(inBaseUnit('density', 999.972, 'kg/m3')!, 7);
  });

  it.each([
    [4, 999.972],
    [20, 998.2071],
    [25, 997.0479],
  ])('water at %i °C is %f kg/m³ (tables of water, 0.01)', (temperatureC, kgPerM3) => {
    expect(Math.abs(1000 * waterDensityGPerMl(temperatureC) - kgPerM3)).toBeLessThan(0.01);
  });

  it('a specific gravity may be against water of another temperature: SG 1.07 at 25 °C is 1.0668 g/ml', () => {
    const read = (text: string) => density(text, new Place('test'));
    expect(read('SG 1.07 at 25 C')).toBeCloseTo(1.07 * 0.9970479, 5);
    expect(read('SG 1.07 at 77 F')).toBeCloseTo(read('sg 1.07 at 25 C'), 12);
    expect(read('SG 1.07')).toBeCloseTo(1.07 * 0.999972, 6);
    expect(() => read('1.07 g/ml at 25 C')).toThrow(/not known/);
    expect(() => read('SG 1.07 at 25')).toThrow(/no unit/);
  });

  it('the same cube read as inches holds 16387.064 times what it holds in mm (inch 25.4 mm)', () => {
    expect(inBaseUnit('length', 1, 'in')! ** 3).toBeCloseTo(16_387.064, 9);
    expect(inBaseUnit('volume', 1, 'in3')! * 1000).toBeCloseTo(16_387.064, 9);
  });

  it('77 °F are 25 °C and 73.4 °F are 23 °C (definition of the scale)', () => {
    expect(inBaseUnit('temperature', 77, 'F')).toBeCloseTo(25, 12);
    expect(inBaseUnit('temperature', 73.4, '°F')).toBeCloseTo(23, 12);
  });

  it('1 lb/gal is 119.8264 kg/m³ (NIST SP 811)', () => {
    expect(inBaseUnit('density', 1, 'lb/gal')).toBeCloseTo(0.1198264, 7);
  });

  it('knows no unit of another dimension', () => {
    expect(inBaseUnit('mass', 1, 'ml')).toBeUndefined();
    expect(inBaseUnit('mass', 1, 'constructor')).toBeUndefined();
  });
});
