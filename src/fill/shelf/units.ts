import { waterDensityGPerMl } from './water.js';

/**
 * Units as data sheets write them, each with its factor to the unit that the tool computes in. The factors follow from
 * the exact definitions in NIST SP 811, appendix B: lb 453.59237 g, inch 25.4 mm, US gallon 231 cubic inches,
 * imperial gallon 4.54609 l, lbf 4.4482216152605 N.
 */
export type Dimension =
  | 'density'
  | 'mass'
  | 'volume'
  | 'length'
  | 'time'
  | 'temperature'
  | 'tear'
  | 'stress'
  | 'room'
  | 'airChanges';

interface Units {
  readonly base: string;
  /** An example for messages. */
  readonly example: string;
  readonly factors: Readonly<Record<string, number>>;
}

const lbG = 453.59237;
const ozG = lbG / 16;
const inchMm = 25.4;
const inch3Ml = (inchMm / 10) ** 3;
const usFlOzMl = (231 * inch3Ml) / 128;
const imperialFlOzMl = 4546.09 / 160;
const lbfN = 4.4482216152605;
const ppiNPerMm = lbfN / inchMm;
const foot3M3 = 0.3048 ** 3;
/** Specific gravity is the density over that of water, at 4 °C where no other temperature is said. */
const waterAt4C = waterDensityGPerMl(4);

export const unitsOf: Readonly<Record<Dimension, Units>> = {
  density: {
    base: 'g/ml',
    example: '1.07 g/ml',
    factors: {
      ...{ 'g/ml': 1, 'g/cc': 1, 'g/cm3': 1, 'g/cm³': 1, 'kg/l': 1, 'kg/m3': 1e-3, 'kg/m³': 1e-3, 'g/l': 1e-3 },
      ...{ sg: waterAt4C, 'lb/gal': lbG / (231 * inch3Ml), 'lb/ft3': lbG / (foot3M3 * 1e6), 'oz/in3': ozG / inch3Ml },
    },
  },
  mass: {
    base: 'g',
    example: '450 g',
    factors: { g: 1, gram: 1, grams: 1, kg: 1000, mg: 1e-3, lb: lbG, lbs: lbG, oz: ozG },
  },
  volume: {
    base: 'ml',
    example: '100 ml',
    factors: {
      ...{ ml: 1, cc: 1, cm3: 1, 'cm³': 1, l: 1000, litre: 1000, liter: 1000, m3: 1e6, 'm³': 1e6 },
      ...{ 'us fl oz': usFlOzMl, 'imp fl oz': imperialFlOzMl, 'us gal': 231 * inch3Ml, 'imp gal': 4546.09 },
      ...{ 'us pt': 16 * usFlOzMl, 'us qt': 32 * usFlOzMl, 'in³': inch3Ml, in3: inch3Ml },
    },
  },
  length: {
    base: 'mm',
    example: '20 um',
    factors: {
      mm: 1,
      cm: 10,
      m: 1000,
      um: 1e-3,
      µm: 1e-3,
      μm: 1e-3,
      micron: 1e-3,
      microns: 1e-3,
      in: inchMm,
      mil: inchMm / 1000,
    },
  },
  time: {
    base: 'min',
    example: '45 min',
    factors: {
      min: 1,
      mins: 1,
      minutes: 1,
      minute: 1,
      s: 1 / 60,
      sec: 1 / 60,
      h: 60,
      hr: 60,
      hrs: 60,
      hour: 60,
      hours: 60,
      d: 1440,
      day: 1440,
      days: 1440,
    },
  },
  // Factors do not do for temperatures: Fahrenheit has its own zero.
  temperature: { base: '°C', example: '23 C', factors: { c: 1, '°c': 1, f: 5 / 9, '°f': 5 / 9 } },
  tear: {
    base: 'N/mm',
    example: '17 N/mm',
    factors: {
      'n/mm': 1,
      'kn/m': 1,
      'n/m': 1e-3,
      ppi: ppiNPerMm,
      pli: ppiNPerMm,
      'lbf/in': ppiNPerMm,
      'lb/in': ppiNPerMm,
    },
  },
  stress: {
    base: 'MPa',
    example: '3.2 MPa',
    factors: { mpa: 1, 'n/mm2': 1, 'n/mm²': 1, kpa: 1e-3, pa: 1e-6, psi: lbfN / inchMm ** 2, bar: 0.1 },
  },
  room: {
    base: 'm³',
    example: '30 m3',
    factors: { m3: 1, 'm³': 1, l: 1e-3, ft3: foot3M3, 'ft³': foot3M3, 'cu ft': foot3M3 },
  },
  airChanges: { base: '/h', example: '4 /h', factors: { '/h': 1, 'per hour': 1, 'per h': 1, ach: 1, '1/h': 1 } },
};

/** A figure in a unit of its dimension, in the tool's own unit; undefined where the unit is not of that dimension. */
export function inBaseUnit(dimension: Dimension, value: number, unit: string): number | undefined {
  const word = unit.toLowerCase();
  const { factors } = unitsOf[dimension];
  const factor = Object.hasOwn(factors, word) ? factors[word] : undefined;
  if (factor === undefined) return undefined;
  const zero = dimension === 'temperature' && word.endsWith('f') ? 32 : 0;
  return (value - zero) * factor;
}
