import { suggestName } from '../base/closest-name.js';
import { Fault } from '../base/fault.js';
import { type BarrierSpec, typicalBarrier } from './barrier.js';
import type { Shelf } from './shelf/shelf.js';

/** A lacquer by name, and figures given in place of the typical ones. */
export interface BarrierChoice {
  readonly lacquer?: string | undefined;
  readonly filmUm?: number | undefined;
  readonly thinnerParts?: number | undefined;
  readonly transferPct?: number | undefined;
  readonly airbrushCupMl?: number | undefined;
}

/** The barrier of a plan. @throws Fault `lacquer-unknown` */
export function chooseBarrier(choice: BarrierChoice, shelf?: Pick<Shelf, 'lacquers'>): BarrierSpec {
  const lacquers = shelf?.lacquers ?? [];
  const lacquer = lacquers.find(({ name }) => name === choice.lacquer);
  if (choice.lacquer !== undefined && lacquer === undefined) {
    throw new Fault({
      code: 'lacquer-unknown',
      kind: 'usage',
      message: `The shelf has no lacquer '${choice.lacquer}'.`,
      remedy: suggestName(
        choice.lacquer,
        lacquers.map(({ name }) => name),
      ),
    });
  }
  return {
    ...typicalBarrier,
    lacquer: lacquer ?? typicalBarrier.lacquer,
    typical: lacquer === undefined,
    filmUm: choice.filmUm ?? typicalBarrier.filmUm,
    thinnerParts: choice.thinnerParts ?? typicalBarrier.thinnerParts,
    transferPct: choice.transferPct,
    airbrushCupMl: choice.airbrushCupMl ?? typicalBarrier.airbrushCupMl,
  };
}
