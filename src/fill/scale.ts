/** A scale at the bench. */
export interface Scale {
  /** Its step over the whole range; where not given, 0.1 g from 10 g on and 0.01 g below. */
  readonly stepG?: number | undefined;
  /** The most it carries. */
  readonly maxG?: number | undefined;
}

/** What the scale shows at such a mass: its step. */
export function stepG(massG: number, scale: Scale = {}): number {
  return scale.stepG ?? (massG >= 10 ? 0.1 : 0.01);
}

/** A mass up to the next step that the scale can show; sums of doubles that sit on a step stay there. */
export function roundUpG(massG: number, scale: Scale = {}): number {
  return onStep(Math.ceil(massG / stepG(massG, scale) - 1e-6), stepG(massG, scale));
}

/** A mass to the nearest step. */
export function roundG(massG: number, scale: Scale = {}): number {
  return onStep(Math.round(massG / stepG(massG, scale)), stepG(massG, scale));
}

/** A number of steps in grams, as the decimal that the scale shows. */
function onStep(steps: number, step: number): number {
  return Number((steps * step).toFixed(6));
}

/**
 * What is poured, in grams as the scale can show them, never less than needed and still in ratio: the larger of the two
 * that hold A and B is rounded up, and every other follows from the rounded one before it is itself rounded up, so that
 * each is within one step of its share.
 * @param shares shares of mass, adding to 1; the first and the last hold A and B
 */
export function roundUpInRatio(totalG: number, shares: readonly number[], scale: Scale = {}): number[] {
  const last = shares.length - 1;
  const lead = shares[0]! >= shares[last]! ? 0 : last;
  const leadG = roundUpG(totalG * shares[lead]!, scale);
  return shares.map((share, i) => (i === lead ? leadG : roundUpG((leadG / shares[lead]!) * share, scale)));
}
