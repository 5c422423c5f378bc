/** Units a mesh file may be in. `um` is the micrometre. */
export type LengthUnit = 'mm' | 'cm' | 'm' | 'in' | 'ft' | 'um';

/** Millimetres in one unit. Exact by definition: inch 25.4 mm, foot 304.8 mm (NIST SP 811, appendix B.8). */
export const mmPerUnit: Readonly<Record<LengthUnit, number>> = {
  mm: 1,
  cm: 10,
  m: 1000,
  in: 25.4,
  ft: 304.8,
  um: 0.001,
};
