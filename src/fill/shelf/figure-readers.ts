import { suggestName } from '../../base/closest-name.js';
import { type Place, quoted, type Reader } from '../shape.js';
import type { Hardness, TimeAt } from '../silicone.js';
import { type Dimension, inBaseUnit, unitsOf } from './units.js';
import { waterDensityGPerMl } from './water.js';

/** Readers of figures as people and data sheets write them: `17 N/mm`, `SG 1.07`, `20 min at 23 C`, `10:1`, `20 %`. */

const plain = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`;
const figure = new RegExp(`^(${plain})\\s*(\\D.*)?$`);
const unitFirst = new RegExp(`^(SG)\\s*(${plain})$`, 'i');

function splitFigure(value: unknown, place: Place, example: string): { number: number; unit: string } {
  const text = typeof value === 'number' ? String(value) : value;
  if (typeof text !== 'string') {
    throw place.fault('figure-expected', `${quoted(value)} is not a figure.`, `Write it like ${example}.`);
  }
  const trimmed = text.trim();
  const [, before, after] = unitFirst.exec(trimmed) ?? [];
  if (before !== undefined) return { number: Number(after), unit: before };
  const [, number, unit = ''] = figure.exec(trimmed) ?? [];
  if (number !== undefined && !/^[,.]\d/.test(unit)) return { number: Number(number), unit: unit.trim() };
  if (/^[+-]?\d+,\d/.test(trimmed)) {
    const dotted = trimmed.replace(',', '.');
    throw place.fault('decimal-comma', `${quoted(text)} has a comma.`, `Write a point: ${dotted}.`);
  }
  throw place.fault('figure-expected', `${quoted(text)} is not a figure.`, `Write it like ${example}.`);
}

function inRange(value: number, min: number, max: number, base: string, place: Place): number {
  if (Number.isFinite(value) && value >= min && value <= max) return value;
  const message = `${Number(value.toPrecision(6))} ${base} is out of range.`;
  throw place.fault('out-of-range', message, `It must lie between ${min} and ${max} ${base}: look at the unit too.`);
}

/** A figure with its unit, in the tool's own unit, between two limits. */
export function quantity(dimension: Dimension, min: number, max: number): Reader<number> {
  const { base, example, factors } = unitsOf[dimension];
  return (value, place) => {
    const { number, unit } = splitFigure(value, place, example);
    if (unit === '') {
      throw place.fault('unit-missing', `${quoted(value)} has no unit.`, `Write it like ${example}.`);
    }
    const converted = inBaseUnit(dimension, number, unit);
    if (converted === undefined) {
      const known = Object.keys(factors);
      throw place.fault('unit-unknown', `The unit ${quoted(unit)} is not known here.`, suggestName(unit, known));
    }
    return inRange(converted, min, max, base, place);
  };
}

const anyDensity = quantity('density', 0.5, 3);
const waterC = quantity('temperature', 0, 40);

/**
 * Density of a part or a mix; what lies outside 0.5 to 3 g/ml is a slip or another unit. A specific gravity may name the
 * temperature of its water: `SG 1.07 at 25 C`.
 */
export const density: Reader<number> = (value, place) => {
  const [, gravity, at] = typeof value === 'string' ? (/^(SG\s.*?)\s+at\s+(.+)$/i.exec(value.trim()) ?? []) : [];
  if (gravity === undefined) return anyDensity(value, place);
  return (anyDensity(gravity, place) / waterDensityGPerMl(4)) * waterDensityGPerMl(waterC(at, place));
};

/** Per cent, with or without its sign. */
export function percent(min = 0, max = 100): Reader<number> {
  return (value, place) => {
    const { number, unit } = splitFigure(value, place, '20 %');
    if (unit !== '' && unit !== '%' && unit !== 'percent' && unit !== 'per cent') {
      throw place.fault('unit-unknown', `The unit ${quoted(unit)} is not known here.`, 'Write per cent: 20 %.');
    }
    return inRange(number, min, max, '%', place);
  };
}

/** Two numbers above 0: `10:1`. */
export const ratioReader: Reader<[number, number]> = (value, place) => {
  const parts = Array.isArray(value) ? value : typeof value === 'string' ? value.split(':') : [];
  const numbers = parts.map((part) => (typeof part === 'string' && part.trim() === '' ? Number.NaN : Number(part)));
  const [a, b] = numbers;
  if (numbers.length !== 2 || !Number.isFinite(a) || !Number.isFinite(b)) {
    throw place.fault('ratio-expected', `${quoted(value)} is not a ratio.`, 'Write parts of A to parts of B: 10:1.');
  }
  if (a! > 0 && b! > 0 && a! <= 1e4 && b! <= 1e4) return [a!, b!];
  throw place.fault('ratio-zero', `${quoted(value)} cannot be mixed.`, 'Both parts must be above 0: 10:1.');
};

/** `20 min at 23 C`. */
export function timeAt(minMinutes: number, maxMinutes: number): Reader<TimeAt> {
  const time = quantity('time', minMinutes, maxMinutes);
  const temperature = quantity('temperature', -10, 80);
  return (value, place) => {
    const [first, second] = typeof value === 'string' ? value.split(/\s+at\s+|\s*@\s*/) : [value];
    const minutes = time(first, place);
    return second === undefined ? { minutes } : { minutes, atC: temperature(second, place) };
  };
}

/** `10 Shore 00`: a number of a Shore scale (ASTM D2240 has A, D, OO and OOO; sheets write 00 and 000 as well). */
export const hardness: Reader<Hardness> = (value, place) => {
  const [, number, scale] = /^(\d+(?:\.\d+)?)\s*(?:shore\s*)?(A|D|[0O]{2,3})$/i.exec(String(value).trim()) ?? [];
  if (number === undefined || scale === undefined) {
    throw place.fault(
      'hardness-expected',
      `${quoted(value)} is not a hardness.`,
      'Write it with its scale: 10 Shore 00.',
    );
  }
  return { value: inRange(Number(number), 0, 100, 'Shore', place), scale: scale.toUpperCase().replaceAll('0', 'O') };
};

/** A day: `2026-12-04`. */
export const day: Reader<string> = (value, place) => {
  const text = typeof value === 'string' ? value.trim() : '';
  const time = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
  if (Number.isFinite(time) && new Date(time).toISOString().startsWith(text)) return text;
  throw place.fault('day-expected', `${quoted(value)} is not a day.`, 'Write year-month-day: 2026-12-04.');
};
