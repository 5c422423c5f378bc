import type { Finding } from '../base/finding.js';
import type { AssumptionEntry } from './assumptions.js';
import type { BarrierEntry } from './barrier.js';
import type { VapourEntry } from './vapour.js';

/**
 * The mix document: what `mix FILE --json` prints. Masses g, volumes ml, densities g/ml; every number is finite.
 * Indices (`plate`, `material`) count from 0 into `plates` and `materials`.
 */
export interface MixDocument {
  format: 'plateful.mix';
  version: 1;
  way: 'straight' | 'encapsulated';
  /** The mix goes under vacuum. */
  degassed: boolean;
  plates: PlateEntry[];
  materials: MaterialEntry[];
  perCavity: CavityEntry[];
  perFill: FillEntry[];
  allowances: Allowance[];
  /** Figures of common practice that the plan used, and those given in their place. */
  assumptions: AssumptionEntry[];
  batches: BatchEntry[];
  /** Parts that are tinted before A meets B, for the whole plan. */
  masters: MasterEntry[];
  barrier: null | BarrierEntry;
  vapour: null | VapourEntry;
  findings: MixFinding[];
  cautions: string[];
}

export interface PlateEntry {
  /** `null` where the pieces were weighed and no mesh was read. */
  file: string | null;
  fills: number;
}

export interface MaterialEntry {
  name: string;
  ratioBy: 'weight' | 'volume';
  ratio: [number, number];
  /** Density of the mixed material with everything that goes into it. */
  densityGPerMl: number;
  /** True where figures are generic and the data sheet's must be used instead. */
  typical: boolean;
  /** Everything that goes in, A and B first; the shares of the mass add to 100. */
  parts: { part: string; kind: PartKind; sharePct: number; densityGPerMl: number }[];
  /** The part that holds the colour before A meets B; `null`: no colour. */
  tintInto: 'A' | 'B' | null;
  /** At the room's temperature; `null` where the material states none. */
  potLife: null | {
    minutes: number;
    rangeMinutes: [number, number];
    atC: number;
    from: 'data sheet' | 'two data-sheet points' | 'rule of thumb';
  };
}

export type PartKind = 'A' | 'B' | 'softener' | 'thinner' | 'pigment' | 'flock';

export interface PartMass {
  part: string;
  massG: number;
}

export interface CavityEntry {
  plate: number;
  number: number;
  name: string;
  material: number;
  volumeMl: number;
  massG: number;
  /** Lowest and highest mass that the survey's doubt about the volume allows. */
  massRangeG: [number, number];
  partsG: PartMass[];
}

/** One fill of one plate in one material: the pieces alone, without any allowance. */
export interface FillEntry {
  plate: number;
  material: number;
  volumeMl: number;
  massG: number;
  massRangeG: [number, number];
  /** Land that the scraper passes over, for this material's share of the fill. */
  sweptMm2: number;
  /** Numbers of the cavities that are filled, and how many fills are made so. */
  cavities: number[];
  count: number;
}

/** What is mixed beyond the pieces' own mass, over the whole plan. */
export interface Allowance {
  what: string;
  massG: number;
  from: 'option' | 'default' | 'learned';
}

export interface BatchEntry {
  material: number;
  /** Index of the session, in which the batches follow each other at the bench. */
  session: number;
  /** What the batch must hold, before rounding. */
  needG: number;
  /** What is weighed: the sum of the parts. */
  totalG: number;
  /** Size of the cup. */
  cupMl: number;
  /** From first contact to the last scraped plate, and what the pot life allows (`null`: not known). */
  minutes: number;
  usableMinutes: number | null;
  /** How far A to B is off its ratio through the scale's step, per cent. */
  ratioErrorPct: number;
  /** Which fills it pours; the same plate twice where a fill takes only some of its cavities. */
  fills: { plate: number; count: number; cavities: number[] }[];
  parts: { part: string; massG: number; volumeMl: number }[];
  /** The order of weighing, colour before A meets B; masses add to the total. */
  order: PartMass[];
}

export interface MasterEntry {
  material: number;
  name: string;
  densityGPerMl: number;
  needG: number;
  /** Still on the shelf. */
  leftG: number;
  makeG: number;
  /** What goes into the `makeG`; drops where the mass of one is known. */
  recipe: (PartMass & { drops?: number })[];
}

export interface MixFinding extends Finding {
  /** Index of the plate it is about. */
  readonly plate?: number;
}
