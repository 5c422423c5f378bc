import { describe, expect, it } from 'vitest';
import { Place } from '../../../src/fill/shape.js';
import { density } from '../../../src/fill/shelf/figure-readers.js';
import { inBaseUnit } from '../../../src/fill/shelf/units.js';
import { gramsPerOunce, mlPerUsFluidOunce } from '../../../src/sheet/display-units.js';

describe('units as data sheets write them', () => {
  it('kN/m is N/mm', () => {
    expect(inBaseUnit('tear', 17, 'N/mm')).toBe(inBaseUnit('tear', 17, 'kN/m'));
  });

  it('the ounces shown are those of the data sheets', () => {
    expect(gramsPerOunce).toBe(inBaseUnit('mass', 1, 'oz'));
    expect(mlPerUsFluidOunce).toBeCloseTo(inBaseUnit('volume', 1, 'us fl oz')!, 12);
  });

  it('a specific gravity may be against water of another temperature: SG 1.07 at 25 °C is 1.0668 g/ml', () => {
    const read = (text: string) => density(text, new Place('test'));
    expect(read('SG 1.07 at 25 C')).toBeCloseTo(1.07 * 0.9970479, 5);
    expect(read('SG 1.07 at 77 F')).toBeCloseTo(read('sg 1.07 at 25 C'), 12);
    expect(read('SG 1.07')).toBeCloseTo(1.07 * 0.999972, 6);
    expect(() => read('1.07 g/ml at 25 C')).toThrow(/not known/);
    expect(() => read('SG 1.07 at 25')).toThrow(/no unit/);
  });

  it('knows no unit of another dimension', () => {
    expect(inBaseUnit('mass', 1, 'ml')).toBeUndefined();
    expect(inBaseUnit('mass', 1, 'constructor')).toBeUndefined();
  });
});
