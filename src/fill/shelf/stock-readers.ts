import { list, number, record, text } from '../shape.js';
import type { Lot, Pack } from '../stock.js';
import { day, quantity } from './figure-readers.js';

const mass = quantity('mass', 0, 1e6);

export const packs = list((value, place): Pack => {
  const pack = record({ holds: quantity('mass', 0.1, 1e6), price: number(0, 1e6) })(value, place);
  return { holdsG: pack.holds, price: pack.price };
});

/** Lots of a material that comes in one part. */
export const lots = list((value, place): Lot => {
  const lot = record({ lot: text, left: mass }, { 'use-by': day })(value, place);
  return { lot: lot.lot, leftG: lot.left, ...(lot['use-by'] && { useBy: lot['use-by'] }) };
});

/** Lots of a two-part silicone. */
export const twoPartLots = list((value, place): Lot => {
  const lot = record({ lot: text, 'left-a': mass, 'left-b': mass }, { 'use-by': day })(value, place);
  const useBy = lot['use-by'];
  return { lot: lot.lot, leftAG: lot['left-a'], leftBG: lot['left-b'], ...(useBy && { useBy }) };
});
