import { describe, expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { WrittenPrecision } from '../../src/reading/coordinate-step.js';
import { TextCursor } from '../../src/reading/text-cursor.js';
import { bytesOf } from './tools.js';

function parsed(text: string): number {
  const cursor = new TextCursor(new WrittenPrecision());
  cursor.enter(bytesOf(text));
  return cursor.coordinate();
}

describe('numbers are those of JavaScript itself, to the last bit', () => {
  test.each([
    '0',
    '-0',
    '+1',
    '.5',
    '5.',
    '-.25e1',
    '1E3',
    '1e+003',
    '007.250',
    '123456789012345e-7',
    '1234567890123456.5e-9',
    '0.1',
    '0.10000000149011612',
    '9007199254740993e-7',
    '900719925474099.35e-8',
    '5e-324',
    '1e-400',
    '0e99999',
    '123456789.12345678901234567890',
    '0.000000000000000000000000000012345678901234567',
    // Halves between two float64 numbers, and just off them.
    '1.00000000000000011102230246251565',
    '1.0000000000000001110223',
    '1.0000000000000003330669',
    '4503599627370497.5e-8',
  ])('%s', (text) => {
    expect(parsed(text)).toBe(Number(text));
  });

  test('one hundred thousand random ones (seed 53)', () => {
    const uniform = mulberry32(53);
    const different: string[] = [];
    for (let i = 0; i < 100_000; i++) {
      const digits = Array.from({ length: 1 + Math.floor(uniform() * 22) }, () => Math.floor(uniform() * 10)).join('');
      const point = Math.floor(uniform() * Math.min(9, digits.length + 1));
      const exponent = uniform() < 0.3 ? `e${Math.floor(uniform() * 20) - 19}` : '';
      const text = `${uniform() < 0.5 ? '-' : ''}${digits.slice(0, point)}.${digits.slice(point)}${exponent}`;
      if (!Object.is(parsed(text), Number(text))) different.push(text);
    }
    expect(different).toEqual([]);
  });

  test('what programs write for random float64 and float32 numbers (seed 54)', () => {
    const uniform = mulberry32(54);
    const different: string[] = [];
    for (let i = 0; i < 50_000; i++) {
      const value = (uniform() - 0.5) * 10 ** Math.floor(uniform() * 8 - 4);
      for (const text of [String(value), String(Math.fround(value)), value.toPrecision(17), value.toExponential(16)]) {
        if (!Object.is(parsed(text), Number(text))) different.push(text);
      }
    }
    expect(different).toEqual([]);
  });
});

test.each(['', '-', '.', 'e5', '1e', '1e+', '1.2.3', '0x10', '1_000', '--1', '1d5', '\u0661'])(
  '%j is no number',
  (text) => {
    expect(() => parsed(text)).toThrow(/where a number should/);
  },
);
