import { Fault } from '../base/fault.js';
import type { MixDocument } from './mix-document.js';
import {
  count,
  flag,
  list,
  number,
  oneOf,
  orNull,
  Place,
  positive,
  type Reader,
  record,
  text,
  vector,
} from './shape.js';

const open = { open: true };
const amount = number(0);
const partMass = record({ part: text, massG: amount }, {}, open);

const partKind = oneOf('A', 'B', 'softener', 'thinner', 'pigment', 'flock');

const mix = record(
  {
    format: oneOf('plateful.mix'),
    version: oneOf(1),
    way: oneOf('straight', 'encapsulated'),
    plates: list(record({ file: orNull(text), fills: count() }, {}, open)),
    materials: list(
      record(
        {
          name: text,
          ratioBy: oneOf('weight', 'volume'),
          ratio: vector(2, positive),
          densityGPerMl: positive,
          parts: list(
            record({ part: text, kind: partKind, sharePct: number(0, 100), densityGPerMl: positive }, {}, open),
          ),
          tintInto: orNull(oneOf('A', 'B')),
        },
        {
          potLife: orNull(
            record({
              minutes: positive,
              rangeMinutes: vector(2, positive),
              atC: number(-50, 100),
              from: oneOf('data sheet', 'two data-sheet points', 'rule of thumb'),
            }),
          ),
        },
        open,
      ),
    ),
    perCavity: list(
      record(
        {
          plate: count(),
          number: count(1),
          name: text,
          material: count(),
          volumeMl: positive,
          massG: positive,
          massRangeG: vector(2, amount),
        },
        {},
        open,
      ),
    ),
    perFill: list(
      record(
        {
          plate: count(),
          material: count(),
          massG: positive,
          sweptMm2: amount,
          cavities: list(count(1)),
          count: count(1),
        },
        {},
        open,
      ),
    ),
    batches: list(
      record(
        {
          material: count(),
          needG: positive,
          totalG: positive,
          cupMl: positive,
          fills: list(record({ plate: count(), count: count(1), cavities: list(count(1)) }, {}, open)),
          parts: list(partMass),
          order: list(partMass),
        },
        {},
        open,
      ),
    ),
  },
  { degassed: flag, cautions: list(text) },
  open,
);

/** The parts of a saved mix document that the bench and the log read. */
export type SavedMix = Pick<MixDocument, 'way'> & {
  materials: (Pick<MixDocument['materials'][number], 'name' | 'densityGPerMl' | 'parts' | 'tintInto'> & {
    ratio: number[];
    potLife?: MixDocument['materials'][number]['potLife'];
  })[];
  degassed?: boolean;
  cautions?: string[];
  perCavity: Pick<
    MixDocument['perCavity'][number],
    'plate' | 'number' | 'name' | 'material' | 'massG' | 'massRangeG'
  >[];
  perFill: Pick<MixDocument['perFill'][number], 'plate' | 'material' | 'massG' | 'sweptMm2' | 'cavities' | 'count'>[];
  plates: { file: string | null }[];
  batches: Pick<
    MixDocument['batches'][number],
    'material' | 'needG' | 'totalG' | 'fills' | 'parts' | 'order' | 'cupMl'
  >[];
};

/**
 * Reads a saved mix document.
 * @throws Fault `mix-not-json`, or `mix-…` with the key where the document is not what it must be
 */
export function readMix(json: string): SavedMix {
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch {
    throw new Fault({
      code: 'mix-not-json',
      message: 'This is not one whole JSON text.',
      remedy: 'Save the plan again: mix FILE --json > mix.json.',
    });
  }
  const read = (mix as Reader<unknown>)(value, new Place('mix')) as SavedMix;
  const place = new Place('mix');
  read.batches.forEach((batch, i) => {
    const at = place.at('batches').at(i);
    if (batch.material >= read.materials.length || batch.fills.some(({ plate }) => plate >= read.plates.length)) {
      throw at.fault('index', 'An index points nowhere.', 'Save the plan again.');
    }
  });
  return read;
}
