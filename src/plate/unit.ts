import { Fault } from '../base/fault.js';
import type { LengthUnit } from '../base/units.js';
import { mmPerUnit } from '../base/units.js';

/** A file that states no unit is read as millimetres only if its plate is this long, mm. */
export const plausiblePlateMm = { least: 100, most: 600 } as const;

/** Whether a plate length read as millimetres can be one. */
export function isPlausibleLength(lengthMm: number): boolean {
  return lengthMm >= plausiblePlateMm.least && lengthMm <= plausiblePlateMm.most;
}

/** The question that arises where the unit cannot be told. */
export function unitQuestion(length: number, width: number): Fault {
  const sizes = (Object.keys(mmPerUnit) as LengthUnit[]).map((unit) => {
    const factor = mmPerUnit[unit];
    return `${unit}: ${figure(length * factor)} x ${figure(width * factor)} mm`;
  });
  return new Fault({
    code: 'unit-unknown',
    message: `The file does not say its unit, and read as millimetres it is no likely plate. Read as ${sizes.join('; ')}.`,
    remedy: 'Lay a ruler on the plate and give the unit that fits, for example --unit in.',
  });
}

function figure(mm: number): string {
  if (mm >= 1e6 || (mm > 0 && mm < 0.001)) return mm.toExponential(1);
  return mm >= 10 ? mm.toFixed(0) : mm >= 1 ? mm.toFixed(1) : mm.toFixed(3);
}
